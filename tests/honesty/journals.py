"""Whole journals in SQLite, read as pages read them: what is claimed of planted truths.

See `household` for the mornings. A claim is wrong where the truth has none of it, or the other way
round. It does not count as one where the page says beside it that it cannot be told apart here.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.bags.queries import bag_page
from app.bags.review import review
from app.database import Database
from app.journal.agreeing import tasters_agree
from app.journal.changes.advice import advice
from app.journal.changes.neighbours import Neighbour
from app.journal.groups.compared import compare_groups
from app.journal.groups.wanted import Wanted
from app.journal.lookback.best import Sought, best_cups
from app.journal.ranking.orders import Wanted as Order
from app.journal.ranking.orders import read_orders
from app.journal.repeating import own_repeats
from app.models import Brew, Tasting
from app.sensory.scores.apart import Apart
from app.sensory.scores.ranking import SURE
from tests.honesty.household import (
    COARSE,
    CUP_SD,
    DAY_SD,
    FINE,
    NOW,
    ONE,
    OTHER,
    TODAY,
    Truth,
    household,
    planted,
)
from tests.honesty.table import Figure, at_least, at_most

JOURNALS = 200
NONE = Truth()
EFFECT = Truth(fine=1.0, a_day=-0.12, first_recipe=0.8, other_taster=0.7, bitter=1.4)
SIZES = {"groups": 1.0, "tasters": 0.7, "what to change": 1.4}
FINER = {
    "the age matters": Truth(grind_by="age", a_day=-0.12, old_other=True),
    "the grind matters": Truth(grind_by="age", fine=-1.2, old_other=True),
}
NOT_AT_RANDOM = {
    "scored where good": Truth(scoring="good cups"),
    "scored on good days": Truth(scoring="good days"),
    "scored where good as the bag ages": Truth(scoring="good cups of old bags"),
    "one scores where good": Truth(scoring="good cups", choosy=(OTHER,)),
    "one scores on good days": Truth(scoring="good days", choosy=(OTHER,)),
}

Way = Literal["up", "down", ""]


class Read(NamedTuple):
    """What a page says of one thing: the direction it claims, whether it says beside it that it
    cannot be told apart, and its range."""

    way: Way
    told_apart: bool = True
    low: float | None = None
    high: float | None = None


View = list[Read]  # what is read together


def groups(session: Session) -> Iterator[View]:
    """A fine grind less a coarse one, by each taster on one page."""
    middle = (FINE + COARSE) / 2
    ways: dict[str | None, Way] = {"A": "up", "B": "down"}
    compared = compare_groups(session, Wanted(setting_to=middle), Wanted(setting_from=middle))
    yield [
        Read(ways.get(one.found.higher, ""), not one.rivals, one.found.low, one.found.high)
        for one in compared.strata
        if one.found
    ]


def trend(session: Session) -> Iterator[View]:
    """Liking over the days of the second bag, by one taster and then by the other."""
    bag = bag_page(session, 2)
    assert bag
    for taster in (ONE, OTHER):
        (liking, *_) = review(session, bag, TODAY, taster).charts
        first, *more = liking.said[0].sentences
        way: Way = "up" if " rose by " in first else "down" if " fell by " in first else ""
        yield [Read(way, not any("cannot be told apart" in one for one in more))]


def ranking(session: Session) -> Iterator[View]:
    """Which recipe is called the best; pairs in which more differed are left out, and told."""
    order = read_orders(session, NOW, Order()).sighted
    way: Way = ""
    if order.islands and (first := order.islands[0][0]).ranked.best >= SURE:
        way = "up" if first.recipe.id == ONE else "down"
    yield [Read(way), *([Read("up", told_apart=False)] if order.mixed else [])]


def tasters(session: Session) -> Iterator[View]:
    """What the other taster gives more than the first."""
    (pair,) = tasters_agree(session).pairs
    found = pair.found.apart
    ways: dict[str | None, Way] = {"A": "down", "B": "up"}
    low, high = (None if end is None else -end for end in (found.high, found.low))
    yield [Read(ways.get(found.higher, ""), not pair.found.chosen, low, high)]


def what_to_change(session: Session) -> Iterator[View]:
    """What costs one taster's liking of the first recipe, and whether a finer grind is liked more
    than that of its latest brew, or a coarser one less."""
    for taster in (ONE, OTHER):
        found = advice(session, "recipe", ONE, taster)
        assert found
        yield [
            *(
                Read(
                    "up" if cost.penalty.costs else "", not cost.rivals, *_ends(cost.penalty.found)
                )
                for read in found.read
                for cost in read.costs
            ),
            *(
                Read(_finer_is(one), not one.rivals)
                for read in found.read
                for one in read.neighbours
            ),
        ]


def _ends(found: Apart) -> tuple[float | None, float | None]:
    return found.low, found.high


def _finer_is(one: Neighbour) -> Way:
    if one.differs.name != "grind_setting" or not one.found.higher:
        return ""
    return "up" if (one.found.higher == "A") == (one.differs.way == "less") else "down"


PAGES: Mapping[str, Callable[[Session], Iterator[View]]] = {
    "groups": groups, "trend in a bag": trend, "ranking": ranking, "tasters": tasters,
    "what to change": what_to_change,
}  # fmt: skip


@dataclass(frozen=True)
class Told:
    """Shares of views in which a page claims, with nothing beside it, up or down, or says that
    a difference cannot be told apart; and of the ranges that hold what is true."""

    up: float
    down: float
    not_apart: float
    held: float

    @property
    def claimed(self) -> float:
        return self.up + self.down


def checks() -> Iterator[Figure]:
    rng = np.random.default_rng(24)
    with household() as database:
        yield from _an_effect(told(database, rng, EFFECT, SIZES))
        nothing = told(database, rng, NONE, dict.fromkeys(SIZES, 0.0), journals=2 * JOURNALS)
        for page, found in nothing.items():
            yield at_most(f"none, {page}: wrong claims", 0.05, found.claimed)
            if found.held:
                yield at_least(f"none, {page}: range holds it", 0.93, found.held)
        for cause, truth in FINER.items():
            for page, found in told(database, rng, truth).items():
                what = f"finer as the bag ages, {cause}, {page}"
                yield at_most(f"{what}: wrong claims", 0.05, found.claimed)
                if page != "tasters":
                    least = (
                        0.02 if page == "what to change" else 0.3
                    )  # few cups differ in one thing
                    yield at_least(f"{what}: cannot be told apart", least, found.not_apart)
        for scored, truth in NOT_AT_RANDOM.items():
            for page, found in told(database, rng, truth).items():
                yield at_most(f"none, {scored}, {page}: wrong claims", 0.05, found.claimed)
        yield from _repeats(database, rng)
        yield from _best(database, rng)


def _an_effect(pages: Mapping[str, Told]) -> Iterator[Figure]:
    least = {"groups": 0.7, "trend in a bag": 0.3, "ranking": 0.5, "tasters": 0.5}
    least["what to change"] = 0.4
    for page, found in pages.items():
        right, wrong = (
            (found.down, found.up) if page.startswith("trend") else (found.up, found.down)
        )
        yield at_least(f"an effect, {page}: found", least[page], right)
        yield at_most(f"an effect, {page}: the wrong way round", 0.05, wrong)
        if found.held:
            yield at_least(f"an effect, {page}: range holds it", 0.93, found.held)


def told(
    database: Database,
    rng: np.random.Generator,
    truth: Truth,
    true: Mapping[str, float] | None = None,
    journals: int | None = None,
) -> dict[str, Told]:
    """What pages say over many journals; `true` are the sizes that ranges should hold."""
    many = journals or JOURNALS
    counts: dict[str, Counter[str]] = {page: Counter() for page in PAGES}
    for _ in range(many):
        with planted(database, rng, truth) as session:
            for page, read in PAGES.items():
                for view in read(session):
                    counts[page].update({"views", *map(_said, view)})
                    counts[page].update(_ranges(view, (true or {}).get(page)))
    return {page: _shares(count) for page, count in counts.items()}


def _shares(count: Counter[str]) -> Told:
    up, down, not_apart = (count[way] / count["views"] for way in ("up", "down", "not apart"))
    return Told(up, down, not_apart, count["held"] / max(count["ranges"], 1))


def _said(read: Read) -> str:
    return "not apart" if read.way and not read.told_apart else read.way


def _ranges(view: View, true: float | None) -> Iterator[str]:
    for read in view:
        if true is not None and read.low is not None and read.high is not None:
            yield "ranges"
            if read.low <= true <= read.high:
                yield "held"


def _repeats(database: Database, rng: np.random.Generator) -> Iterator[Figure]:
    """Two new cups of one recipe, of two mornings, against what a taster's repeats show; where the
    page says that cups were left out, nothing is claimed."""
    for name, truth in {"every cup scored": NONE, **NOT_AT_RANDOM}.items():
        called = pairs = 0
        for _ in range(JOURNALS // 4):
            with planted(database, rng, truth) as session:
                for of in own_repeats(session).values():
                    if of.days_apart and not (of.days_apart.is_wide or of.leaves_out):
                        apart = np.abs(np.subtract(*_mornings(rng)))
                        called += int(np.sum(apart > of.days_apart.range_95))
                        pairs += len(apart)
        share = called / max(pairs, 1)
        yield at_most(f"two cups of one recipe, {name}: called apart", 0.05, share)


def _mornings(rng: np.random.Generator) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    noise = rng.normal(0, np.hypot(CUP_SD, DAY_SD), (2, 200))
    return np.clip(np.round(rng.uniform(4.2, 5.2, 200) + noise), 1, 9)


def _best(database: Database, rng: np.random.Generator) -> Iterator[Figure]:
    """Nothing is better than the rest: the best cup of all had luck, its repeats beside it not."""
    gaps = []
    for _ in range(JOURNALS // 4):
        with planted(database, rng, NONE) as session:
            (first, *_) = best_cups(session, Sought())
            of_bag = Brew.bag_id == first.cup.bag_id, Tasting.taster_id == first.cup.taster_id
            mean = session.scalar(select(func.avg(Tasting.liking)).join(Brew).where(*of_bag))
            gaps.append((first.repeats_liking or 0.0) - (mean or 0.0))
    off = abs(float(np.mean(gaps)))
    yield at_most("none, looking back: points the best cup's repeats are off", 0.25, off)
