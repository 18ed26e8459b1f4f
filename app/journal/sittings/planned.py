"""The planned cups of a sitting as brews that can be compared, and what was made otherwise."""

from collections.abc import Iterable, Mapping, Sequence

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.brewing.sitting.wanted import FilterWanted
from app.formats import Formats
from app.journal.pairs.brews import BrewDetails, BrewRow
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


def read_cups(
    session: Session, cups: Mapping[int, Mapping[Letter, CupLike]], brew_ids: Iterable[int]
) -> tuple[dict[Key, Side], dict[int, Side]]:
    """The planned cups, and the brews that were made; a steady number of statements."""
    by_key = {(number, letter): cup for number, two in cups.items() for letter, cup in two.items()}
    made = set(brew_ids)
    sides = read_sides(session, made | {cup.like_id for cup in by_key.values()})
    packs = _packs(session, by_key.values())
    planned = {
        key: _planned(session, sides[cup.like_id], cup, packs) for key, cup in by_key.items()
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


def _planned(session: Session, like: Side, cup: CupLike, packs: Mapping[int, FilterPack]) -> Side:
    set_here: dict[str, Value] = {**CAME_OUT, **cup.changes}
    fields = {name: value for name, value in set_here.items() if name in BrewRow._fields}
    row = like.row._replace(**fields)  # type: ignore[arg-type]  # values of these very columns
    details = _renamed(session, like, row)
    brewer = session.get(Brewer, row.brewer_id)
    if brewer is not None:
        row = row._replace(first_brewer_id=brewer.first_id, kind=brewer.kind)
    stack = [_use(position, one, packs[one.pack_id]) for position, one in enumerate(cup.filters, 1)]
    return as_planned(like, row, details, stack)


def _renamed(session: Session, like: Side, row: BrewRow) -> BrewDetails:
    """The names of what is not as in the brew it is like."""
    details, was = like.details._replace(note=""), like.row
    if row.bag_id != was.bag_id:
        bean = session.scalar(
            select(Bean.name).join(Bag, Bag.bean_id == Bean.id).where(Bag.id == row.bag_id)
        )
        details = details._replace(bean_name=bean or "")
    brewer = session.get(Brewer, row.brewer_id) if row.brewer_id != was.brewer_id else None
    if brewer is not None:
        details = details._replace(brewer_name=brewer.name)
    if row.grinder_id != was.grinder_id:
        grinder = session.get(Grinder, row.grinder_id) if row.grinder_id else None
        details = details._replace(grinder_name=grinder.name if grinder else None)
    if row.water_id != was.water_id:
        water = session.get(Water, row.water_id) if row.water_id else None
        details = details._replace(water_name=water.name if water else None)
    return details


def _use(position: int, wanted: FilterWanted, pack: FilterPack) -> Use:
    """A filter nobody has chosen yet: no number of its own, and use 0 where any will do."""
    return Use(
        0, position, wanted.use or 0, None, pack.id, pack.name, 0, pack.material, None
    )  # fmt: skip


def _packs(session: Session, cups: Iterable[CupLike]) -> dict[int, FilterPack]:
    ids: Sequence[int] = [one.pack_id for cup in cups for one in cup.filters]
    query = select(FilterPack).where(FilterPack.id.in_(ids))
    return {pack.id: pack for pack in session.scalars(query)} if ids else {}
