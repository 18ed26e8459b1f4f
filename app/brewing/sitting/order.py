"""In which order rounds are tasted: no stronger cup before a fainter one where that can be, and of
such orders the one that takes least time, of these the one that rises most evenly. Exact, over all
orders (Held and Karp's recursion)."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.brewing.sitting.rounds import A_PCT_OF_STRENGTH, Round
from app.brewing.sitting.times import CLEAR_S, LONG_REST_S, SET_UP_S, WASH_UP_S
from app.brewing.strength.extraction import NOTICEABLE_TDS_PCT

MOST_ROUNDS = 9

# A difference in strength that tasters noticed (Frost et al. 2019), as bitterness.
NOTICED = round(100 * A_PCT_OF_STRENGTH * NOTICEABLE_TDS_PCT)
# What an order costs: carried, seconds, and what is too little to be carried.
Cost = tuple[int, int, int]
# Rounds done, as bits, and the last of them: the least cost, and in which order.
Best = dict[tuple[int, int], tuple[Cost, tuple[int, ...]]]


@dataclass(frozen=True, slots=True)
class Between:
    """From the tasting of one round to the brewing of the next.

    `washed` and `set_up` are how many brewers hands get done while the cups of the first cool;
    `left_s` is what is left of both before the next brew. `drop` is how far the first leaves the
    palate above the next, in hundredths of a point of bitterness; where it is noticed, a long rest
    comes between.
    """

    drop: int
    washed: int
    set_up: int
    left_s: int

    @property
    def carried(self) -> int:
        return self.drop if self.drop > NOTICED else 0

    @property
    def rest_s(self) -> int:
        return LONG_REST_S if self.carried else CLEAR_S


def between(first: Round, then: Round) -> Between:
    to_wash, to_set_up = len(first.batches[-1]), len(then.batches[0])
    washed = min(to_wash, first.cool_s // WASH_UP_S)
    spare_s = first.cool_s - washed * WASH_UP_S
    # A brewer is washed before it is set up again.
    set_up = min(to_set_up, spare_s // SET_UP_S) if washed == to_wash else 0
    left_s = (to_wash - washed) * WASH_UP_S + (to_set_up - set_up) * SET_UP_S
    drop = max(0, first.strongest - then.faintest)
    return Between(drop, washed, set_up, left_s)


def in_order(rounds: Sequence[Round]) -> list[Round]:
    """The rounds in the best order; those of one question stay in theirs: liking that is asked
    after a difference test is swayed by it (ISO 4120), so that the side by side comes first.

    Raises ValueError for more than `MOST_ROUNDS`.
    """
    count = len(rounds)
    if count > MOST_ROUNDS:
        raise ValueError("more rounds than a sitting may have")
    best: Best = {}
    for place in range(count):
        if _may_follow(rounds, 0, place):
            best[1 << place, place] = (0, start_s(rounds[place]), 0), (place,)
    for done in range(1, 1 << count):
        for last in range(count):
            if (done, last) in best:
                _go_on(rounds, done, last, best)
    ends = [
        ((cost[0], cost[1] + end_s(rounds[last]), cost[2]), order)
        for (done, last), (cost, order) in best.items()
        if done == (1 << count) - 1
    ]
    return [rounds[place] for place in min(ends)[1]] if ends else []


def start_s(first: Round) -> int:
    """Setting up before the first brew."""
    return len(first.batches[0]) * SET_UP_S


def end_s(last: Round) -> int:
    """Washing up that is left at the end."""
    to_wash = len(last.batches[-1])
    return (to_wash - min(to_wash, last.cool_s // WASH_UP_S)) * WASH_UP_S


def _go_on(rounds: Sequence[Round], done: int, last: int, best: Best) -> None:
    cost, order = best[done, last]
    for place, then in enumerate(rounds):
        if not done >> place & 1 and _may_follow(rounds, done, place):
            gap = between(rounds[last], then)
            lasts_s = cost[1] + gap.rest_s + gap.left_s
            more = cost[0] + gap.carried, lasts_s, cost[2] + gap.drop
            reached = done | 1 << place, place
            found = more, (*order, place)
            best[reached] = min(best.get(reached, found), found)


def _may_follow(rounds: Sequence[Round], done: int, place: int) -> bool:
    """Whether all earlier rounds of its question are done."""
    return all(
        done >> earlier & 1
        for earlier in range(place)
        if rounds[earlier].question_id == rounds[place].question_id
    )
