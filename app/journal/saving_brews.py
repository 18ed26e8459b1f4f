"""Writing a brew: one function to add, one to change, within the caller's transaction."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cache
from itertools import count
from uuid import uuid4

from sqlalchemy import Select, bindparam, select
from sqlalchemy.orm import Session

from app.journal.history import record_done
from app.journal.packs import take_fresh
from app.journal.rows import set_columns
from app.models import Bag, Bean, Brew, Brewer, Filter, FilterUse, Grinder, local_date
from app.models.brews import BrewValues
from app.text import search_text


@dataclass(frozen=True, slots=True)
class StackedFilter:
    """A filter of the stack: one by its id, or the next one of a pack."""

    filter_id: int | None = None
    pack_id: int | None = None
    retire: bool = False


@dataclass(frozen=True, slots=True)
class BrewEntry:
    """A brew as it is entered; a bean by its name, a brewer by its kind and name, and a grinder by
    its name are created with it. A brewer without a name is called as its kind."""

    values: BrewValues
    brewed_at: datetime
    stack: Sequence[StackedFilter] = ()
    new_bean: str = ""
    new_brewer_kind: str = ""
    new_brewer_name: str = ""
    new_grinder: str = ""


def add_brew(session: Session, entry: BrewEntry, zone: str, key: str = "") -> Brew:
    """A new brew, named by the `key` of its form.

    ValueError, with a sentence to show, if a filter cannot be had any more.
    """
    brew = Brew(entry_key=key or str(uuid4()), zone=zone)
    _set_values(session, brew, entry)
    brew.stack = []
    session.add(brew)
    session.flush()
    _set_stack(session, brew, entry.stack)
    return brew


def add_brews(session: Session, entries: Iterable[BrewEntry], zone: str) -> list[Brew]:
    """Many brews at once, with filters by their ids; the caller has seen to it that these are
    there. Their filters, where they are retired, are left to the caller, too."""
    brews = []
    for entry in entries:
        brew = Brew(entry_key=str(uuid4()), zone=zone)
        _set_values(session, brew, entry)
        brew.stack = [
            FilterUse(position=position, filter_id=chosen.filter_id, brewed_at=entry.brewed_at)
            for position, chosen in enumerate(entry.stack, start=1)
        ]
        brews.append(brew)
    session.add_all(brews)
    session.flush()
    return brews


def change_brew(session: Session, brew: Brew, entry: BrewEntry) -> None:
    """Change a brew loaded with its stack in this session; ValueError as in `add_brew`."""
    _set_values(session, brew, entry)
    session.flush()
    _set_stack(session, brew, entry.stack)


def _set_values(session: Session, brew: Brew, entry: BrewEntry) -> None:
    values = entry.values
    if entry.new_bean:
        bag = Bag(bean=Bean(name=entry.new_bean))
        session.add(bag)
        session.flush()
        values = replace(values, bag_id=bag.id)
    if entry.new_brewer_kind:
        name = entry.new_brewer_name or _free_name(session, entry.new_brewer_kind.capitalize())
        brewer = Brewer(name=name, kind=entry.new_brewer_kind)
        session.add(brewer)
        session.flush()
        values = replace(values, brewer_id=brewer.id)
    if entry.new_grinder:
        grinder = Grinder(name=entry.new_grinder)
        session.add(grinder)
        session.flush()
        values = replace(values, grinder_id=grinder.id)
    set_columns(brew, values)
    brew.note_search = search_text(values.note)
    brew.brewed_at = entry.brewed_at
    brew.brewed_on = local_date(entry.brewed_at, brew.zone)


def _free_name(session: Session, name: str) -> str:
    """The name, numbered where a brewer has it already."""
    taken = set(session.scalars(select(Brewer.name).where(Brewer.name.startswith(name))))
    numbered = (f"{name} {number}" for number in count(2))
    return name if name not in taken else next(one for one in numbered if one not in taken)


def _set_stack(session: Session, brew: Brew, stack: Sequence[StackedFilter]) -> None:
    _refuse_put_back(session, brew, stack)
    wanted: dict[int, int] = {}
    for position, chosen in enumerate(stack, start=1):
        wanted[position] = chosen.filter_id or take_fresh(session, chosen.pack_id or 0).id
        if chosen.retire:
            used = session.get_one(Filter, wanted[position])
            if used.retired_on is None:
                used.retired_on = brew.brewed_on
                record_done(used, "retired")
    if wanted == {use.position: use.filter_id for use in brew.stack}:
        return
    brew.stack.clear()
    session.flush()
    brew.stack.extend(
        FilterUse(position=position, filter_id=filter_id, brewed_at=brew.brewed_at)
        for position, filter_id in wanted.items()
    )


def _refuse_put_back(session: Session, brew: Brew, stack: Sequence[StackedFilter]) -> None:
    """Locked, so that none of these filters is put back into its pack before the brew is saved."""
    chosen = {one.filter_id for one in stack} - {use.filter_id for use in brew.stack} - {None}
    if not chosen:
        return
    for used in session.execute(_locked(), {"ids": list(chosen)}):
        if used.binned_at is not None:
            raise ValueError(
                f"No. {used.number} was put back into its pack meanwhile. Choose another filter, "
                "or restore it from the bin."
            )


@cache
def _locked() -> Select[int, datetime | None]:
    columns = select(Filter.number, Filter.binned_at)
    return columns.where(Filter.id.in_(bindparam("ids", expanding=True))).with_for_update()
