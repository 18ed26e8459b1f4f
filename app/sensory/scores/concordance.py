"""Whether three or more tasters put the same cups into one order: Kendall's W, and Friedman's test.

Friedman 1937, J. Am. Stat. Assoc. 32:675, doi 10.1080/01621459.1937.10503522; Kendall and Babington
Smith 1939, Ann. Math. Stat. 10:275. Ties by mid-ranks, with their correction.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations

from app.sensory.lazy import special

LEAST_TASTERS, LEAST_CUPS = 3, 3
MOST_EXACT = 9  # tasters and cups together, whose orders are all gone through
NEAR = 1e-9


@dataclass(frozen=True)
class Concordance:
    """Tasters who scored the same cups: `w` from 0 to 1 (one order for all of them).

    `chance`: how often tasters whose orders are drawn by lot agree at least as far.
    """

    tasters: int
    cups: int
    w: float
    chance: float


def concordance(scores: Sequence[Sequence[float]]) -> Concordance | None:
    """From the scores of each taster for the same cups, in one order of cups.

    None for fewer than three tasters or cups, and where somebody scored all alike. ValueError
    where the tasters scored different numbers of cups.
    """
    if len({len(one) for one in scores}) > 1:
        raise ValueError("every taster needs a score for each cup")
    if len(scores) < LEAST_TASTERS or len(scores[0]) < LEAST_CUPS:
        return None
    ranked = [mid_ranks(one) for one in scores]
    if any(len(set(ranks)) == 1 for ranks in ranked):
        return None
    tasters, cups = len(ranked), len(ranked[0])
    spread = _spread([sum(column) for column in zip(*ranked, strict=True)])
    most = sum(_spread(ranks) for ranks in ranked)  # tasters times this: all in one order
    w = spread / (tasters * most)
    if tasters + cups <= MOST_EXACT:
        chance = _exact(ranked, spread)
    else:
        chance = float(special.chdtrc(cups - 1, tasters * (cups - 1) * w))
    return Concordance(tasters, cups, w, chance)


def mid_ranks(scores: Sequence[float]) -> list[float]:
    """Ranks from 1; equal scores share the mean of theirs."""
    ordered = sorted(scores)
    first = {score: ordered.index(score) for score in set(scores)}
    return [first[score] + (scores.count(score) + 1) / 2 for score in map(float, scores)]


def _spread(ranks: Sequence[float]) -> float:
    """Sum of squares about the mean."""
    mean = sum(ranks) / len(ranks)
    return sum((rank - mean) ** 2 for rank in ranks)


def _exact(ranked: Sequence[Sequence[float]], spread: float) -> float:
    """Share of all orders, the first taster's kept, whose rank sums lie at least as far apart."""
    sums = {tuple(ranked[0]): 1.0}
    for ranks in ranked[1:]:
        orders = list(permutations(ranks))
        added: dict[tuple[float, ...], float] = defaultdict(float)
        for so_far, share in sums.items():
            for order in orders:
                # The order of the cups does not matter for what follows.
                both = tuple(sorted(map(sum, zip(so_far, order, strict=True))))
                added[both] += share / len(orders)
        sums = added
    return sum(share for of, share in sums.items() if _spread(of) >= spread - NEAR)
