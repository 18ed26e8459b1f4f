"""What can be picked for the cups of a sitting."""

from collections.abc import Iterable, Sequence

from sqlalchemy import func, or_, select
from sqlalchemy.orm import Session

from app.journal.bags import OpenBag, open_bags
from app.journal.gear import pick_list
from app.journal.recipes import pickable_revisions, revision
from app.models import Brewer, FilterPack, Grinder, Water
from app.models.brews import BrewValues
from app.web.formats import formats

Listed = list[tuple[int, str]]


def lists_for(
    session: Session, names: Iterable[str], made: Sequence[BrewValues], pack_ids: Iterable[int]
) -> dict[str, Listed]:
    """Rows (id, name) by field, those of `names` only, with what the cups are made with now."""
    lists: dict[str, Listed] = {}
    for name in set(names):
        ids = [getattr(one, name, None) for one in made]
        also = sorted({row_id for row_id in ids if row_id})
        match name:
            case "bag_id":
                lists[name] = bags_listed(session, also)
            case "brewer_id":
                lists[name] = _gear(session, Brewer, also)
            case "grinder_id":
                lists[name] = _gear(session, Grinder, also)
            case "water_id":
                lists[name] = _gear(session, Water, also)
            case "revision_id":
                lists[name] = _recipes(session, also)
            case "pack_id":
                lists[name] = _packs(session, pack_ids)
    return lists


def bags_listed(session: Session, also: Iterable[int] = ()) -> Listed:
    """Bags to brew from, with what is left in each where that is known."""
    return [
        (bag.id, ", ".join(filter(None, (bag.bean_name, bag.roaster, _left(bag)))))
        for bag in open_bags(session, also)
    ]


def _left(bag: OpenBag) -> str:
    return "" if bag.left_g is None else f"{formats().amount(max(0.0, bag.left_g), 'g', 0)} left"


def materials(session: Session) -> dict[int, str]:
    """What the filters of each pack are made of."""
    rows = session.execute(select(FilterPack.id, FilterPack.material))
    return {row.id: row.material for row in rows}


def _gear(session: Session, gear: type[Brewer | Grinder | Water], also: Sequence[int]) -> Listed:
    listed: dict[int, str] = {}
    for row_id in also or [0]:
        listed |= dict(pick_list(session, gear, row_id))
    return list(listed.items())


def _recipes(session: Session, also: Sequence[int]) -> Listed:
    listed = {row.revision_id: row.name for row in pickable_revisions(session)}
    for revision_id in also:
        of = revision(session, revision_id)
        if of is not None and revision_id not in listed:
            listed[revision_id] = f"{of.recipe.name}, revision {of.number}"
    return list(listed.items())


def _packs(session: Session, also: Iterable[int]) -> Listed:
    there = or_(FilterPack.binned_at.is_(None), FilterPack.id.in_(list(also)))
    query = select(FilterPack.id, FilterPack.name).where(there)
    rows = session.execute(query.order_by(func.lower(FilterPack.name), FilterPack.id))
    return [(row.id, row.name) for row in rows]
