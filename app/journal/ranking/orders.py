"""The recipes in order: blind and sighted preferences apart."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.ranking.preferences import Preferences, Preferred, RecipeRow, preferences
from app.journal.recipes import PickableRevision, pickable_revisions
from app.models import Bag, Bean, Brew, RecipeRevision
from app.sensory.scores.ranking import Next, Pair, Ranked, rank

LOOK_BACK = 100


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which preferences to rank by: of one bag, of one taster, and with `every` those, too, where
    more than the recipe differed."""

    bag_id: int | None = None
    taster_id: int | None = None
    every: bool = False


@dataclass(frozen=True, slots=True)
class Placed:
    """A recipe in its order, and by how many of its revisions the cups were made."""

    recipe: RecipeRow
    ranked: Ranked
    revisions: int


@dataclass(frozen=True, slots=True)
class Order:
    """What blind or sighted preferences say of recipes, in islands that none of them joins.

    `counted` are preferences for one recipe, `ties` those without; `again` is how many more came
    from two brews that count already. In `mixed` more than the recipe differed: left out, unless
    all were wanted; `because` is what that was, each with its number. `whose` are tasters with the
    number of their preferences, `nobodys` those that name nobody.
    """

    blind: bool
    counted: int
    ties: int
    again: int
    mixed: int
    because: Sequence[tuple[str, int]]
    whose: Sequence[tuple[str, int]]
    nobodys: int
    islands: Sequence[Sequence[Placed]]
    next: tuple[RecipeRow, RecipeRow] | None
    gain: Next | None
    joins: bool  # the next pair would join two islands

    @property
    def recipes(self) -> int:
        return sum(len(island) for island in self.islands)


@dataclass(frozen=True, slots=True)
class Orders:
    """Sighted and blind, and what can be chosen: bags and tasters that have preferences."""

    sighted: Order
    blind: Order
    bags: Sequence[tuple[int, str]]
    tasters: Sequence[tuple[int, str]]


def read_orders(session: Session, now: datetime, wanted: Wanted) -> Orders:
    known = preferences(session, now)
    rows = [
        row
        for row in known.rows
        if wanted.bag_id in (None, row.bag_id) and wanted.taster_id in (None, row.taster_id)
    ]
    sighted, blind = (
        _order(known, [row for row in rows if row.blind is blind], blind=blind, every=wanted.every)
        for blind in (False, True)
    )
    return Orders(sighted, blind, list(known.bags.items()), list(known.tasters.items()))


def _order(known: Preferences, rows: Sequence[Preferred], *, blind: bool, every: bool) -> Order:
    taken = [row for row in rows if every or not row.beside]
    mixed = [row for row in rows if row.beside]
    looks = once(taken)
    wins = [pair for pair in looks if pair]
    met = sorted({n for row in taken for n in (row.winner, row.loser)})
    place = {recipe_id: n for n, recipe_id in enumerate(met)}
    brewable = tuple(place[n] for n in met if not known.recipes[n].in_bin)
    found = rank(len(met), tuple((place[i], place[j]) for i, j in wins), brewable)
    revisions = Counter(n for n, _ in {of for row in taken for of in row.revisions})
    islands = [
        [Placed(known.recipes[met[one.cup]], one, revisions[met[one.cup]]) for one in island]
        for island in found.islands
    ]
    pair = found.next.pair if found.next else None
    tasters = Counter(row.taster_id for row in taken)
    return Order(
        blind,
        len(wins),
        len(looks) - len(wins),
        len(taken) - len(looks),
        len(mixed),
        Counter(name for row in mixed for name in row.beside).most_common(),
        [(known.tasters[n], many) for n, many in tasters.most_common() if n],
        tasters[None],
        islands,
        (known.recipes[met[pair[0]]], known.recipes[met[pair[1]]]) if pair else None,
        found.next,
        bool(pair)
        and not any(set(pair or ()) <= {one.cup for one in own} for own in found.islands),
    )


def named_bag(session: Session, bag_id: int) -> str | None:
    """The bean of a bag, whether or not its brews were ever compared."""
    return session.scalar(
        select(Bean.name).join(Bag, Bag.bean_id == Bean.id).where(Bag.id == bag_id)
    )


def first_pair(session: Session) -> list[PickableRevision]:
    """Two recipes to begin with, those brewed last before others; fewer where there are not two."""
    recipes = pickable_revisions(session)
    lately = (
        select(RecipeRevision.recipe_id)
        .join(Brew, Brew.revision_id == RecipeRevision.id)
        .where(Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(LOOK_BACK)
    )
    in_turn = list(dict.fromkeys(session.scalars(lately)))
    last = len(in_turn)
    recipes.sort(key=lambda row: in_turn.index(row.recipe_id) if row.recipe_id in in_turn else last)
    return recipes[:2]


def once(rows: Sequence[Preferred]) -> list[Pair | None]:
    """The preferred recipe and the other of each two brews, however often they were tasted: the
    luck of a brew is in all of it. None where neither was preferred more often."""
    looks: dict[str, Counter[Pair]] = {}
    for row in rows:
        count = looks.setdefault(row.look, Counter())
        if not row.tie:
            count[row.winner, row.loser] += 1
    return [_more_often(count) for count in looks.values()]


def _more_often(count: Counter[Pair]) -> Pair | None:
    ranked = count.most_common(2)
    if not ranked or (len(ranked) == 2 and ranked[0][1] == ranked[1][1]):
        return None
    return ranked[0][0]
