"""Cups like brews of the journal: what of two brews is kept apart, and through which filters."""

from collections.abc import Sequence
from dataclasses import asdict, replace

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.brewing.sitting.wanted import FilterWanted
from app.journal.alike import alike_ids
from app.journal.gathered.groups import NAMES
from app.journal.on_hand import hand_of_packs
from app.journal.packs import packs_with_left
from app.journal.pairs.fairness import compare
from app.journal.pairs.pair import read_sides
from app.journal.sittings.cups import CAME_OUT, CupLike, Value, cup_values
from app.journal.uses import uses_of_brews
from app.models import Brew, Filter, FilterPack, FilterUse
from app.sensory.terms import Letter

USE = "use of the filter"
# A field of a setup is set by the column of its own name, but for these.
SET_BY = {"age_days": "bag_id", "first_brewer_id": "brewer_id", "steps": "revision_id"}
OF_THE_STACK = {"stack", "use"}


def like_brew(session: Session, brew_id: int, factors: Sequence[str]) -> CupLike:
    """Like a brew, through filters of the same packs: papers at the use they had where the question
    is about that, fresh ones elsewhere; of another pack that fits where theirs is empty."""
    stack = uses_of_brews(session, [brew_id]).get(brew_id, [])
    filters = []
    for used in stack:
        use = 1 if used.material == "paper" else None
        if used.wears and USE in factors:
            use = used.number
        filters.append(FilterWanted(used.pack_id, use))
    if USE not in factors:
        filters = [_there(session, brew_id, one) for one in filters]
    return CupLike(brew_id, {}, tuple(filters))


def like_pair(
    session: Session, brew_a: int, brew_b: int, factors: Sequence[str]
) -> dict[Letter, CupLike]:
    """Like two brews, of which only those settings are kept apart that the question is about, or
    that differ by somebody's will: what follows, is within its tolerance or was noted for one only
    is as in A."""
    sides = read_sides(session, (brew_a, brew_b))
    a, b = (like_brew(session, one, factors) for one in (brew_a, brew_b))
    states = compare(sides[brew_a].setup, sides[brew_b].setup).states
    apart = {name for name, state in states.items() if state == "differs"}
    apart |= {NAMES[label] for label in factors if label in NAMES}
    kept = {SET_BY.get(name, name) for name in apart}
    as_a: dict[str, Value] = {
        name: value
        for name, value in asdict(cup_values(session, a)).items()
        if name not in CAME_OUT and name not in kept
    }
    b = replace(b, changes=as_a)
    return {"A": a, "B": b if apart & OF_THE_STACK else replace(b, filters=a.filters)}


def _there(session: Session, brew_id: int, wanted: FilterWanted) -> FilterWanted:
    """The filter, or where its pack has none left a fresh one of the pack that was last used in
    such a brewer and is of the same material."""
    left = {row.id for row in packs_with_left(session)}
    if wanted.pack_id in left or _is_in_hand(session, wanted):
        return wanted
    material = session.get_one(FilterPack, wanted.pack_id).material
    brewer_id = session.get_one(Brew, brew_id).brewer_id
    query = (
        select(Filter.pack_id)
        .join(FilterUse, FilterUse.filter_id == Filter.id)
        .join(Brew, Brew.id == FilterUse.brew_id)
        .join(FilterPack, FilterPack.id == Filter.pack_id)
        .where(
            Brew.brewer_id.in_(alike_ids(brewer_id)),
            Brew.binned_at.is_(None),
            FilterPack.material == material,
            FilterPack.id.in_(left),
        )
        .order_by(Brew.brewed_at.desc())
        .limit(1)
    )
    pack_id = session.scalar(query)
    return replace(wanted, pack_id=pack_id) if pack_id else wanted


def _is_in_hand(session: Session, wanted: FilterWanted) -> bool:
    rows = hand_of_packs(session, [wanted.pack_id])
    return any(wanted.use is None or row.uses < wanted.use for row in rows)
