"""Brews of a sheet written into the journal: all of them or none, to be taken back as one."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.journal.imports.noting import begin, chunks, note_added
from app.journal.packs import add_pack
from app.journal.rows import add_row
from app.journal.saving_bags import add_bag
from app.journal.saving_brews import BrewEntry, StackedFilter, add_brews
from app.journal.settings import last_currency
from app.journal.tastings import TastingEntry, add_tastings
from app.models import (
    Bag,
    Base,
    Bean,
    Brew,
    Brewer,
    Filter,
    FilterPack,
    FilterUse,
    Grinder,
    Taster,
    Tasting,
)
from app.models.beans import BagValues, BeanValues
from app.models.brews import BrewValues
from app.models.gear import BrewerValues, GrinderValues, PackValues
from app.models.tastings import TastingValues
from app.spreadsheet.brews import SheetBrew
from app.spreadsheet.filters import filters_of
from app.spreadsheet.matching import Matching
from app.spreadsheet.names import IdsByName, bag_key, bean_key, ids_by_name, is_tasted
from app.text import search_text

AT_ONCE = 500
FINISHED_AFTER = timedelta(days=30)
Told = Callable[[int], None]
Added = dict[type[Base], list[int]]


def save_sheet(
    session: Session,
    brews: list[SheetBrew],
    matching: Matching,
    file_name: str,
    zone: str,
    today: date,
    told: Told = lambda _saved: None,
) -> int:
    """Write the brews with all that they need and is not there; returns the id of the import.

    In the caller's transaction; `told` hears how many brews are written.
    """
    imported = begin(session, "sheet", file_name)
    brews = sorted(brews, key=lambda brew: (brew.brewed_at, brew.number))
    there, added = ids_by_name(session), defaultdict[type[Base], list[int]](list)
    _make_gear(session, brews, matching, there, added)
    _make_bags(session, brews, there, added, today)
    filters = _make_filters(session, brews, there, added)
    uses: list[list[str | int | float | bool | None]] = []
    for some in chunks(brews, AT_ONCE):
        rows = add_brews(session, [_entry(brew, there, filters) for brew in some], zone)
        both = list(zip([row.id for row in rows], some, strict=True))
        uses += [[brew_id, 1] for brew_id, brew in both if brew.number in filters]
        tasted = {brew_id: _tasting(brew, there) for brew_id, brew in both if is_tasted(brew)}
        added[Brew] += [brew_id for brew_id, _brew in both]
        added[Tasting] += [row.id for row in add_tastings(session, tasted, zone)]
        session.expunge_all()  # thousands of rows would be looked over at each flush
        told(len(added[Brew]))
    imported = session.merge(imported)
    for table, ids in added.items():
        note_added(session, imported, table.metadata.tables[table.__tablename__], ids)
    note_added(session, imported, FilterUse.metadata.tables["filter_use"], uses)
    return imported.id


def _make_gear(
    session: Session, brews: list[SheetBrew], matching: Matching, there: IdsByName, added: Added
) -> None:
    for brew in brews:
        name = brew.names["brewer"]
        if search_text(name) not in there.brewers:
            values = BrewerValues(name=name, kind=matching.new_kind)
            there.brewers[search_text(name)] = _made(session, added, Brewer(), values)
        mill = brew.names["grinder"]
        if mill and search_text(mill) not in there.grinders:
            there.grinders[search_text(mill)] = _made(
                session, added, Grinder(), GrinderValues(name=mill)
            )
        who = brew.names["taster"]
        if is_tasted(brew) and search_text(who) not in there.tasters:
            taster = Taster(name=who)
            session.add(taster)
            session.flush()
            added[Taster].append(taster.id)
            there.tasters[search_text(who)] = taster.id


def _made(
    session: Session, added: Added, row: Brewer | Grinder, values: BrewerValues | GrinderValues
) -> int:
    made = add_row(session, row, values)
    added[type(row)].append(made.id)
    return made.id


def _make_bags(
    session: Session, brews: list[SheetBrew], there: IdsByName, added: Added, today: date
) -> None:
    """Beans and bags that are not there; a bag last used over a month ago is finished that day."""
    currency = last_currency(session, Bag)
    days: dict[tuple[str, str, date | None], list[date]] = defaultdict(list)
    for brew in brews:
        days[(*bean_key(brew), brew.roasted_on)].append(brew.brewed_on)
    for brew in brews:
        key = bag_key(brew)
        if there.bag(key) is not None:
            continue
        used = days[(*key.bean, key.roasted_on)]
        last = max(used)
        values = BagValues(
            roasted_on=key.roasted_on, opened_on=min(used), currency=currency,
            finished_on=last if today - last > FINISHED_AFTER else None,
        )  # fmt: skip
        bean_id = there.bean(key.bean)
        is_new = bean_id is None
        bean = BeanValues(name=brew.names["bean"], roaster=brew.names["roaster"])
        bag = add_bag(session, values, bean if bean_id is None else bean_id)
        there.beans.setdefault(key.bean, bag.bean_id)
        there.bags[bag.bean_id, key.roasted_on] = bag.id
        added[Bag].append(bag.id)
        if is_new:
            added[Bean].append(bag.bean_id)


def _make_filters(
    session: Session, brews: list[SheetBrew], there: IdsByName, added: Added
) -> dict[int, int]:
    """The filter of each line, by its number; a pack that is new here holds all of its name."""
    found = {}
    for kind in filters_of(brews):
        pack_id = there.packs.get(search_text(kind.name))
        if pack_id is None:
            values = PackValues(
                name=kind.name, material=kind.material, count=len(kind.filters),
                currency=last_currency(session, FilterPack),
            )  # fmt: skip
            pack_id = add_pack(session, values).id
            there.packs[search_text(kind.name)] = pack_id
            added[FilterPack].append(pack_id)
        most = select(func.max(Filter.number)).where(Filter.pack_id == pack_id)
        first = (session.scalar(most) or 0) + 1
        rows = [
            Filter(
                pack_id=pack_id, number=number, prior_uses=one.prior_uses,
                retired_on=one.retired_on,
            )
            for number, one in enumerate(kind.filters, start=first)
        ]  # fmt: skip
        session.add_all(rows)
        session.flush()
        added[Filter] += [row.id for row in rows]
        for row, one in zip(rows, kind.filters, strict=True):
            found.update(dict.fromkeys(one.lines, row.id))
    return found


def _entry(brew: SheetBrew, there: IdsByName, filters: dict[int, int]) -> BrewEntry:
    recipe, mill = brew.names["recipe"], brew.names["grinder"]
    revision_id = there.recipes.get(search_text(recipe)) if recipe else None
    unmatched = f"Recipe: {recipe}" if recipe and revision_id is None else ""
    amounts: Any = brew.amounts  # read as the columns of these names
    values = BrewValues(
        **amounts,
        bag_id=there.bag(bag_key(brew)),
        brewer_id=there.brewers[search_text(brew.names["brewer"])],
        grinder_id=there.grinders[search_text(mill)] if mill else None,
        revision_id=revision_id,
        note="\n".join(text for text in (brew.note, unmatched) if text),
    )
    stack = [StackedFilter(filter_id=filters[brew.number])] if brew.number in filters else []
    return BrewEntry(values, brew.brewed_at, stack)


def _tasting(brew: SheetBrew, there: IdsByName) -> TastingEntry:
    values = TastingValues(liking=brew.liking, note=brew.taste_note)
    taster_id = there.tasters[search_text(brew.names["taster"])]
    return TastingEntry(values, brew.brewed_at, taster_id)
