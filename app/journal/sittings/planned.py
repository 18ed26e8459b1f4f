"""The planned cups of a sitting as brews that can be compared, and what was made otherwise."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.brewing.sitting.wanted import FilterWanted
from app.formats import Formats
from app.journal.pairs.brews import BrewRow
from app.journal.pairs.fairness import compare
from app.journal.pairs.pair import Side, as_planned, read_sides
from app.journal.pairs.rows import Line, setting_text
from app.journal.pairs.setup import LABELS
from app.journal.sittings.cups import CAME_OUT, CupLike, Value
from app.journal.uses import Use
from app.models import Bag, Bean, Brewer, FilterPack, Grinder, Water
from app.sensory.terms import Letter

Key = tuple[int, Letter]  # the row of its question, and which cup
# These follow from the day and the recipe, and are no choice of whoever brews.
NOT_SET = {"age_days", "steps"}


@dataclass(frozen=True, slots=True)
class Shelf:
    """What the planned cups name, by its number; beans by that of their bag."""

    brewers: Mapping[int, Brewer]
    beans: Mapping[int, str]
    grinders: Mapping[int, str]
    waters: Mapping[int, str]
    packs: Mapping[int, FilterPack]


def read_cups(
    session: Session, cups: Mapping[int, Mapping[Letter, CupLike]], brew_ids: Iterable[int]
) -> tuple[dict[Key, Side], dict[int, Side]]:
    """The planned cups, and the brews that were made; a steady number of statements."""
    by_key = {(number, letter): cup for number, two in cups.items() for letter, cup in two.items()}
    made = set(brew_ids)
    sides = read_sides(session, made | {cup.like_id for cup in by_key.values()})
    rows = {key: _row(sides[cup.like_id].row, cup) for key, cup in by_key.items()}
    shelf = _shelf(session, list(rows.values()), by_key.values())
    planned = {
        key: _planned(sides[cup.like_id], rows[key], cup, shelf) for key, cup in by_key.items()
    }
    return planned, {brew_id: sides[brew_id] for brew_id in made if brew_id in sides}


def otherwise(planned: Side, made: Side, formats: Formats) -> list[Line]:
    """The settings in which a brew is not what was planned, beyond what hands can hold to: cup A of
    a line is the plan, cup B the brew."""
    states = compare(planned.setup, made.setup).states
    any_use = not any(use.number for use in planned.stack)
    return [
        Line(label, setting_text(name, planned, formats), setting_text(name, made, formats), state)
        for name, label in LABELS.items()
        if (state := states[name]) in ("differs", "follows")
        and name not in NOT_SET
        and not (name == "use" and any_use)
    ]


def _row(like: BrewRow, cup: CupLike) -> BrewRow:
    set_here: dict[str, Value] = {**CAME_OUT, **cup.changes}
    fields = {name: value for name, value in set_here.items() if name in BrewRow._fields}
    return like._replace(**fields)  # type: ignore[arg-type]  # values of these very columns


def _planned(like: Side, row: BrewRow, cup: CupLike, shelf: Shelf) -> Side:
    brewer = shelf.brewers[row.brewer_id]
    row = row._replace(first_brewer_id=brewer.first_id, kind=brewer.kind)
    details = like.details._replace(
        note="",
        bean_name=shelf.beans[row.bag_id],
        brewer_name=brewer.name,
        grinder_name=shelf.grinders.get(row.grinder_id or 0),
        water_name=shelf.waters.get(row.water_id or 0),
    )
    stack = [
        _use(position, one, shelf.packs[one.pack_id]) for position, one in enumerate(cup.filters, 1)
    ]
    return as_planned(like, row, details, stack)


def _use(position: int, wanted: FilterWanted, pack: FilterPack) -> Use:
    """A filter nobody has chosen yet: no number of its own, and use 0 where any will do."""
    number = wanted.use or 0
    return Use(0, position, number, None, pack.id, pack.name, 0, pack.material, None)


def _shelf(session: Session, rows: Sequence[BrewRow], cups: Iterable[CupLike]) -> Shelf:
    brewers = select(Brewer).where(Brewer.id.in_({row.brewer_id for row in rows}))
    packs = select(FilterPack).where(
        FilterPack.id.in_({one.pack_id for cup in cups for one in cup.filters})
    )
    beans = (
        select(Bag.id, Bean.name)
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Bag.id.in_({row.bag_id for row in rows}))
    )
    grinders = select(Grinder.id, Grinder.name).where(
        Grinder.id.in_({row.grinder_id for row in rows if row.grinder_id})
    )
    waters = select(Water.id, Water.name).where(
        Water.id.in_({row.water_id for row in rows if row.water_id})
    )
    return Shelf(
        {brewer.id: brewer for brewer in session.scalars(brewers)},
        {row.id: row.name for row in session.execute(beans)},
        {row.id: row.name for row in session.execute(grinders)},
        {row.id: row.name for row in session.execute(waters)},
        {pack.id: pack for pack in session.scalars(packs)},
    )
