"""Renaming, and making two names one: each within the caller's transaction, noted as one change."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import ColumnElement, select, update
from sqlalchemy.orm import Session

from app.journal.history import Thing, record
from app.journal.names.listing import Named, listed
from app.journal.names.merging import both_in
from app.models import Bag, Bean, NameChange, Taster, Tasting
from app.text import search_text

RENAMED, MERGED = "renamed", "merged"


class NameTakenError(ValueError):
    """There is another one of this name; it may be meant to be one with it."""

    def __init__(self, other: Named) -> None:
        super().__init__(f"There is a {other.kind} of this name already: {other.name}.")
        self.other = other


def rename(session: Session, named: Named, name: str, now: datetime) -> NameChange:
    """Raises NameTakenError where a taster or roaster has that name, case and accents aside."""
    for other in () if named.kind == "bean" else listed(session, named.kind):
        if other.id != named.id and search_text(other.name) == search_text(name):
            raise NameTakenError(other)
    moved: Sequence[int] = ()
    if named.kind == "roaster":
        moved = _rename_roaster(session, named.name, name)
    else:
        row_of(session, named.kind, named.id).name = name
        if named.kind == "bean":
            _changed(session, [named.id], f"renamed, was {named.name}")
    ids = None if named.kind == "roaster" else named.id
    return _note(session, named.kind, RENAMED, (named.name, name), (ids, ids), moved, now)


def row_of(session: Session, kind: str, row_id: int | None) -> Taster | Bean:
    """The taster or bean, so that nothing new points at it until this transaction ends."""
    if kind == "taster":
        return session.get_one(Taster, row_id, with_for_update=True)
    return session.get_one(Bean, row_id, with_for_update=True)


def merge(session: Session, a: Named, b: Named, now: datetime) -> NameChange:
    """Make `a` one with `b`, which gives the name. Raises ValueError where they cannot be one."""
    names, ids = (a.name, b.name), (a.id, b.id)
    if a.kind == "roaster":
        moved = _rename_roaster(session, *names)
        return _note(session, a.kind, MERGED, names, (None, None), moved, now)
    if a.kind == "bean":
        return _note(session, a.kind, MERGED, names, ids, _merge_beans(session, a, b, now), now)
    one = session.get_one(Taster, a.id, with_for_update=True)
    if both_in(session, a.id, b.id):
        raise ValueError("Both have a place in one blind test, so they cannot be one person.")
    moved = _ids(session, Tasting, Tasting.taster_id == a.id)
    session.execute(update(Tasting).where(Tasting.taster_id == a.id).values(taster_id=b.id))
    followed = _ids(session, Taster, Taster.same_as_id == a.id)
    session.execute(update(Taster).where(Taster.same_as_id == a.id).values(same_as_id=b.id))
    one.same_as_id, one.binned_at = b.id, now
    return _note(session, a.kind, MERGED, names, ids, moved, now, followed)


def _merge_beans(session: Session, a: Named, b: Named, now: datetime) -> list[int]:
    row_of(session, a.kind, a.id).binned_at = now
    moved = _ids(session, Bag, Bag.bean_id == a.id)
    session.execute(update(Bag).where(Bag.bean_id == a.id).values(bean_id=b.id))
    _changed(session, [a.id], f"made one with {b.name}")
    for bag_id in moved:
        record(session, Thing("bag", bag_id), what=f"now of {b.name}"[:120])
    return moved


def _rename_roaster(session: Session, old: str, new: str) -> list[int]:
    moved = _ids(session, Bean, Bean.roaster == old)
    session.execute(update(Bean).where(Bean.roaster == old).values(roaster=new))
    _changed(session, moved, f"roaster renamed, was {old}")
    return moved


def _changed(session: Session, bean_ids: Sequence[int], what: str) -> None:
    """A form of these beans that was opened before clashes, rather than undoing this."""
    for bean_id in bean_ids:
        record(session, Thing("bean", bean_id), what=what[:120])


def _ids(
    session: Session, table: type[Tasting | Taster | Bag | Bean], of: ColumnElement[bool]
) -> list[int]:
    return list(session.scalars(select(table.id).where(of).order_by(table.id)))


def _note(
    session: Session,
    kind: str,
    what: str,
    names: tuple[str, str],
    ids: tuple[int | None, int | None],
    moved: Sequence[int],
    now: datetime,
    followed: Sequence[int] = (),
) -> NameChange:
    change = NameChange(
        kind=kind, what=what, old_name=names[0], new_name=names[1], from_id=ids[0], into_id=ids[1],
        moved=list(moved), followed=list(followed), changed_at=now,
        device=session.info.get("device", ""),
    )  # fmt: skip
    session.add(change)
    session.flush()
    return change


def latest(session: Session, most: int) -> list[NameChange]:
    """What was done to names, the last first."""
    query = select(NameChange).order_by(NameChange.id.desc()).limit(most)
    return list(session.scalars(query))
