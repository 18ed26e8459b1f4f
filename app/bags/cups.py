"""The cups from one bag: their days and scores, the best of them, and the filters they took."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from statistics import fmean

from app.bags.queries import BagBrew, Score
from app.brewing.strength.estimate import Estimate
from app.journal.rest import Span, rest_on
from app.journal.uses import Use

BEST_CUPS = 5
MOST_NUMBERED = 10


@dataclass(frozen=True, slots=True)
class BagCup:
    """One cup from a bag; `day` is its rest, or days since the first cup without a roast day."""

    row: BagBrew
    day: int
    estimate: Estimate
    stack: Sequence[Use]
    sighted: float | None
    blind: float | None
    liking: float | None


def bag_cup(
    row: BagBrew, day: int, estimate: Estimate, stack: Sequence[Use], scores: Sequence[Score]
) -> BagCup:
    blind = [score.liking for score in scores if score.blind]
    sighted = [score.liking for score in scores if not score.blind]
    return BagCup(row, day, estimate, stack, _mean(sighted), _mean(blind), _mean(sighted + blind))


def days_of(rows: Sequence[BagBrew], roasted_on: date | None, frozen: Sequence[Span]) -> list[int]:
    """The day of each brew on the charts' axis; rows run from the oldest on."""
    rests = [rest_on(row.brewed_on, roasted_on, frozen) for row in rows]
    return [
        rest.days if rest else (row.brewed_on - rows[0].brewed_on).days
        for row, rest in zip(rows, rests, strict=True)
    ]


def best_cups(cups: Sequence[BagCup]) -> list[BagCup]:
    """The cups liked best, the newer first where equal."""
    scored = [cup for cup in reversed(cups) if cup.liking is not None]
    return sorted(scored, key=lambda cup: -(cup.liking or 0))[:BEST_CUPS]


@dataclass(frozen=True, slots=True)
class UseLine:
    """What the cups through a filter in one use number were like; the last line takes the rest."""

    number: int
    cups: int
    liking: float | None
    press_s: float | None


def use_lines(cups: Sequence[BagCup]) -> list[UseLine]:
    """Cups by the use number of their filter; a stack counts once for each of its filters."""
    by_number: dict[int, list[BagCup]] = {}
    for cup in cups:
        for use in cup.stack:
            by_number.setdefault(min(use.number, MOST_NUMBERED + 1), []).append(cup)
    return [
        UseLine(
            number,
            len(through),
            _mean([cup.liking for cup in through if cup.liking is not None]),
            _mean([cup.row.press_s for cup in through if cup.row.press_s is not None]),
        )
        for number, through in sorted(by_number.items())
    ]


def _mean(values: Sequence[float]) -> float | None:
    return fmean(values) if values else None
