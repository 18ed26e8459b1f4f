"""What the brews of a plan take, brew by brew; where a lot decides, at least and at most."""

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import product
from math import ceil

from app.brewing.sitting.plan import AmountsNeeded, BagAmount, Brew, FilterAmount, Line
from app.brewing.sitting.times import MOUTH_G
from app.brewing.sitting.wanted import CupWanted, FilterWanted


def amounts_of(lines: Sequence[Line], kettle_g: float) -> AmountsNeeded:
    """Everything that has to be there for the lines; `kettle_g` is what one filling holds."""
    brews = [brew for line in lines for brew in line.brews]
    tastings = [line for line in lines if line.kind in ("taste", "trial")]
    kettle = sum(max(map(from_kettle_g, brew.cups)) for brew in brews)
    return AmountsNeeded(
        brews=len(brews),
        bags=tuple(_bag(bag_id, brews) for bag_id in _bag_ids(brews)),
        kettle_g=kettle,
        kettle_fulls=ceil(round(kettle / kettle_g, 6)),
        mouth_g=MOUTH_G * len(tastings),
        ice_g=sum(max(cup.ice_g for cup in brew.cups) for brew in brews),
        filters=_filters(lines),
        brewers=sum(_brewers(lines).values()),
        cups=max((line.cups for line in tastings), default=0),
        codes=sum(line.cups for line in lines if line.kind == "trial"),
    )


def from_kettle_g(cup: CupWanted) -> float:
    return cup.water_g + cup.bypass_g + cup.rinse_g


def _bag_ids(brews: Iterable[Brew]) -> list[int]:
    """In the order they are first needed."""
    return list(dict.fromkeys(cup.bag_id for brew in brews for cup in brew.cups))


def _bag(bag_id: int, brews: Iterable[Brew]) -> BagAmount:
    each = [[cup.dose_g if cup.bag_id == bag_id else 0.0 for cup in brew.cups] for brew in brews]
    return BagAmount(bag_id, sum(map(min, each)), sum(map(max, each)))


def _filters(lines: Iterable[Line]) -> tuple[FilterAmount, ...]:
    """Of each kind at each use, as many as a lot may ask for."""
    most: Counter[FilterWanted] = Counter()
    at_a_time: Counter[FilterWanted] = Counter()
    for line in lines:
        of_line: Counter[FilterWanted] = Counter()
        for brew in line.brews:
            of_brew: Counter[FilterWanted] = Counter()
            for cup in brew.cups:
                of_brew |= Counter(cup.filters)
            of_line += of_brew
        most += of_line
        at_a_time |= of_line
    return tuple(FilterAmount(one, count, at_a_time[one]) for one, count in most.items())


def _brewers(lines: Iterable[Line]) -> Counter[int]:
    """By the first of those that are alike, how many are in use at one time at most."""
    most: Counter[int] = Counter()
    for line in lines:
        for cups in product(*(brew.cups for brew in line.brews)):
            most |= Counter(cup.first_brewer_id for cup in cups)
    return most
