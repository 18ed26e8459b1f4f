"""Which version of a thing a page showed, what each change made of it, and how it was before."""

import re
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from typing import NamedTuple

from sqlalchemy import func, inspect, select
from sqlalchemy.orm import Session, object_session

from app.journal.rows import Query, columns_of, row_as, rows_as
from app.models import Change
from app.models.base import Base, Binned
from app.models.history import FieldText

PAGE_ROWS = 30
# Kinds of things that are not called as their table is.
TABLES = {"answer": "question"}


class Thing(NamedTuple):
    """What can be changed: its kind, mostly the name of its table, and the number of its row."""

    kind: str
    row_id: int


class ChangeRow(NamedTuple):
    number: int
    changed_at: datetime
    device: str
    what: str
    before: list[FieldText]
    after: list[FieldText]


def version_of(session: Session, things: Iterable[Thing]) -> str:
    """The version of things as a form carries it: how many changes each has had, "3" or "3.0"."""
    return ".".join(str(_latest(session, thing)) for thing in things)


def parsed_version(version: str, things: Sequence[Thing]) -> dict[Thing, int] | None:
    """How many changes each thing had; None where this is no version of these things."""
    numbers = re.findall(r"\d{1,9}", version, re.ASCII)
    return (
        dict(zip(things, map(int, numbers), strict=True)) if len(numbers) == len(things) else None
    )


def _latest(session: Session, thing: Thing) -> int:
    query = select(func.max(Change.number)).where(
        Change.thing == thing.kind, Change.row_id == thing.row_id
    )
    return session.scalar(query) or 0


def hold(session: Session, things: Iterable[Thing]) -> None:
    """Let whoever else changes these things wait until this transaction ends.

    SQLite's writers wait for each other anyway.
    """
    for thing in things:
        table = Base.metadata.tables[TABLES.get(thing.kind, thing.kind)]
        row = select(table.c.id).where(table.c.id == thing.row_id)
        session.execute(row.with_for_update(key_share=True))


def is_there(session: Session, thing: Thing) -> bool:
    """Whether the row exists; settings have none before they are changed, and are there."""
    table = Base.metadata.tables[TABLES.get(thing.kind, thing.kind)]
    query = select(table.c.id).where(table.c.id == thing.row_id)
    return thing.kind == "settings" or session.execute(query).first() is not None


def record(
    session: Session,
    thing: Thing,
    before: Sequence[FieldText] = (),
    after: Sequence[FieldText] = (),
    what: str = "",
) -> None:
    """Note a change, within the transaction that makes it.

    Two transactions cannot both write the same number: the later one fails with IntegrityError.
    """
    change = Change(
        thing=thing.kind,
        row_id=thing.row_id,
        number=_latest(session, thing) + 1,
        changed_at=session.info.get("now") or datetime.now(UTC),
        device=session.info.get("device", ""),
        what=what,
        before=list(before),
        after=list(after),
    )
    session.add(change)
    session.flush()


def record_done(row: Binned, what: str) -> None:
    """Note what was done to a row other than by its form, such as "put in the bin"."""
    session = object_session(row)
    if session is not None:
        record(session, Thing(str(inspect(row).mapper.local_table), row.id), what=what)


def change_numbered(session: Session, thing: Thing, number: int) -> ChangeRow | None:
    return row_as(ChangeRow, session, _changes(thing).where(Change.number == number))


def changes_since(session: Session, thing: Thing, number: int) -> list[ChangeRow]:
    """What happened to a thing after the version with this number, the oldest first."""
    query = _changes(thing).where(Change.number > number).order_by(Change.number)
    return rows_as(ChangeRow, session, query)


def changes_page(session: Session, thing: Thing, start: int | None) -> list[ChangeRow]:
    """The newest changes first, from number `start` on; one more than a page has, if there is."""
    query = _changes(thing).order_by(Change.number.desc()).limit(PAGE_ROWS + 1)
    if start is not None:
        query = query.where(Change.number <= start)
    return rows_as(ChangeRow, session, query)


def _changes(thing: Thing) -> Query:
    return select(*columns_of(ChangeRow, Change)).where(
        Change.thing == thing.kind, Change.row_id == thing.row_id
    )
