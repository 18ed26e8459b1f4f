"""A change of names taken back, exactly: what went over comes back, what was added since stays."""

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import ColumnElement, select, update
from sqlalchemy.orm import Session

from app.journal.as_table import in_batches
from app.journal.history import Thing, record
from app.journal.names.changing import RENAMED, row_of
from app.models import Bag, Bean, NameChange, Taster, Tasting
from app.sensory.gathered.words import counted
from app.text import search_text

BACK = "change of name taken back"


class InTheWayError(ValueError):
    """Something done since has to be taken back, or changed, first; the sentence says what."""


class TakenBack(NamedTuple):
    """How many rows came back, and how many had been given to somebody else since, and stay."""

    back: int
    stay: int
    rows: str


def take_back(session: Session, change: NameChange, now: datetime) -> TakenBack:
    """Raises InTheWayError; nothing is changed then."""
    if change.taken_back_at:
        raise InTheWayError("This was taken back already.")
    taken = _RENAMED[change.kind] if change.what == RENAMED else _MERGED[change.kind]
    back = taken(session, change)
    change.taken_back_at = now
    return back


def _rename_back(session: Session, change: NameChange) -> TakenBack:
    row = row_of(session, change.kind, change.from_id)
    if row.name != change.new_name:
        raise InTheWayError(f"It was renamed since and is called {row.name}: take that back first.")
    if row.binned_at is not None:
        raise InTheWayError(f"{row.name} was made one with another since: take that back first.")
    if isinstance(row, Taster):
        _free(session, change.old_name, row.id)
    row.name = change.old_name
    if isinstance(row, Bean):
        record(session, Thing("bean", row.id), what=BACK)
    return TakenBack(0, 0, "")


def _taster_back(session: Session, change: NameChange) -> TakenBack:
    one, other = (session.get_one(Taster, n) for n in (change.from_id, change.into_id))
    if other.same_as_id is not None:
        raise InTheWayError(
            f"{change.new_name} was made one with another taster since: take that back first."
        )
    _free(session, one.name, one.id)
    one.same_as_id = one.binned_at = None
    followed = Taster.id.in_(change.followed) & (Taster.same_as_id == other.id)
    session.execute(update(Taster).where(followed).values(same_as_id=one.id))
    stand = _still(session, Tasting, change.moved, Tasting.taster_id == other.id)
    for ids in in_batches(stand):
        session.execute(update(Tasting).where(Tasting.id.in_(ids)).values(taster_id=one.id))
    return TakenBack(len(stand), len(change.moved) - len(stand), "tasting")


def _bean_back(session: Session, change: NameChange) -> TakenBack:
    one, other = (session.get_one(Bean, n) for n in (change.from_id, change.into_id))
    if other.binned_at is not None:
        raise InTheWayError(
            f"{change.new_name} was made one with another bean since: take that back first."
        )
    one.binned_at = None
    record(session, Thing("bean", one.id), what=BACK)
    stand = _still(session, Bag, change.moved, Bag.bean_id == other.id)
    session.execute(update(Bag).where(Bag.id.in_(stand)).values(bean_id=one.id))
    for bag_id in stand:
        record(session, Thing("bag", bag_id), what=BACK)
    return TakenBack(len(stand), len(change.moved) - len(stand), "bag")


def _roaster_back(session: Session, change: NameChange) -> TakenBack:
    stand = _still(session, Bean, change.moved, Bean.roaster == change.new_name)
    if not stand:
        raise InTheWayError(
            f"None of its beans has the roaster {change.new_name} any more. If that was renamed "
            "since, take that back first."
        )
    session.execute(update(Bean).where(Bean.id.in_(stand)).values(roaster=change.old_name))
    for bean_id in stand:
        record(session, Thing("bean", bean_id), what=BACK)
    return TakenBack(len(stand), len(change.moved) - len(stand), "bean")


_RENAMED = {"taster": _rename_back, "bean": _rename_back, "roaster": _roaster_back}
_MERGED = {"taster": _taster_back, "bean": _bean_back, "roaster": _roaster_back}


def _free(session: Session, name: str, but: int) -> None:
    """Raises InTheWayError where somebody else has been given this name since."""
    others = select(Taster.id, Taster.name).where(Taster.binned_at.is_(None), Taster.id != but)
    if any(search_text(row.name) == search_text(name) for row in session.execute(others)):
        raise InTheWayError(f"There is another taster called {name} now: rename that one first.")


def _still(
    session: Session, table: type[Tasting | Bag | Bean], ids: Sequence[int], of: ColumnElement[bool]
) -> list[int]:
    """Those of the rows that are still where they went."""
    return [
        row_id
        for some in in_batches(ids)
        for row_id in session.scalars(select(table.id).where(table.id.in_(some), of))
    ]


def in_words(change: NameChange, taken: TakenBack) -> str:
    said = f"{change.old_name} has its name back."
    if taken.rows:
        said += f" {counted(taken.back, taken.rows)} came back"
        if taken.stay:
            said += f"; {counted(taken.stay, taken.rows)} had been changed since and stay"
        said += ". What was added since stays where it was added."
    return said
