"""Several cups in order from comparisons of two at a time: the Bradley-Terry model.

Bradley & Terry 1952, Biometrika 39:324: the log-odds that cup i is preferred to cup j are the
difference of their worths. A normal prior of mean 0 and SD 1 on each worth keeps few comparisons
from giving extremes. Chances are shares of draws from a normal about the posterior's mode
(Laplace), each weighed by the posterior itself. That prior pulls cups far apart towards each other,
and its ranges held such truths in .72 to .96 of simulations; so a range reaches over that of a
prior of SD 3, too, by Student's t for as many comparisons, and held .93 or more of all that were
tried (`make honesty`).
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from app.sensory import Z_95
from app.sensory.lazy import Floats, np, special

PRIOR_SD, WIDE_SD = 1.0, 3.0
MOST_STEPS = 100
DRAWS, SEED = 4000, 1952
# From here on a cup is called the best: where all are alike, whoever looks after each of 30
# comparisons then finds a best one in less than 1 case in 20 (`make honesty`).
SURE = 0.995
MOST_IN_NEXT = 10  # of the cups most likely to be the best, those that may be compared next

Pair = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Ranked:
    """One cup's worth (log-odds; 0 is the mean of the cups it is linked to) with its 95 % range,
    its chance of being the best of these, and how often it was preferred and was not."""

    cup: int
    worth: float
    low: float
    high: float
    best: float
    won: int
    lost: int


@dataclass(frozen=True, slots=True)
class Next:
    """The pair whose comparison tells most about which cup is best: by how many of the `bits` that
    are missing it is expected to lessen what is not known."""

    pair: Pair
    bits: float
    missing: float


@dataclass(frozen=True, slots=True)
class Ranking:
    """Cups that comparisons link, most preferred first, in as many islands as no comparison joins;
    the island with the most comparisons first. `next` is None where nothing can be compared."""

    islands: tuple[tuple[Ranked, ...], ...]
    next: Next | None


@lru_cache(maxsize=64)
def rank(cups: int, wins: tuple[Pair, ...], open_to: tuple[int, ...] | None = None) -> Ranking:
    """Rank the cups 0, 1, ... from `wins`, (preferred, other) pairs of them; leave ties out.

    `open_to` are the cups that can be compared next (None: all). Raises ValueError for a cup that
    is not there, or compared with itself.

    >>> [one.cup for one in rank(2, ((1, 0),)).islands[0]]
    [1, 0]
    """
    if any(not 0 <= cup < cups for pair in wins for cup in pair):
        raise ValueError(f"unknown cup: there are {cups}")
    if any(first == second for first, second in wins):
        raise ValueError("a cup cannot be compared with itself")
    if not cups:
        return Ranking((), None)
    plain, wide = (_posterior(cups, wins, sd) for sd in (PRIOR_SD, WIDE_SD))
    drawn = _drawn(plain, wins)
    found = [_island(island, plain, wide, drawn, wins) for island in islands(cups, wins)]
    found.sort(key=lambda island: -sum(one.won for one in island))
    return Ranking(tuple(found), _next(drawn, range(cups) if open_to is None else open_to))


def islands(cups: int, wins: Sequence[Pair]) -> list[list[int]]:
    """The cups by what links them, each list in rising order."""
    of = list(range(cups))
    for i, j in wins:
        old, new = of[i], of[j]
        of = [new if island == old else island for island in of]
    return [[cup for cup in range(cups) if of[cup] == island] for island in dict.fromkeys(of)]


class Posterior(NamedTuple):
    """The mode, and the covariance there."""

    worths: Floats
    covariance: Floats


class Drawn(NamedTuple):
    """Worths drawn from the posterior, one row a draw, and what share each draw has."""

    worths: Floats
    share: Floats


def _posterior(n: int, wins: Sequence[Pair], prior_sd: float) -> Posterior:
    """By Newton's method."""
    difference, times = _differences(n, wins)
    worths, precision = np.zeros(n), np.eye(n) / prior_sd**2
    for _ in range(MOST_STEPS):
        p = _logistic(difference @ worths)
        curvature = precision + (difference.T * (times * p * (1 - p))) @ difference
        slope = difference.T @ (times * (1 - p)) - precision @ worths
        step = np.linalg.solve(curvature, slope)
        worths += step
        if np.abs(step).max() < 1e-10:
            break
    covariance: Floats = np.linalg.inv(curvature).astype(float)
    return Posterior(worths, covariance)


def _differences(n: int, wins: Sequence[Pair]) -> tuple[Floats, Floats]:
    """A row for each two cups, preferred less other, and how often that was so."""
    counts = Counter(wins)
    won, lost = np.array(list(counts), dtype=int).reshape(-1, 2).T
    return np.eye(n)[won] - np.eye(n)[lost], np.array(list(counts.values()), dtype=float)


def _logistic(x: Floats) -> Floats:
    return 1 / (1 + np.exp(-x))


def _drawn(posterior: Posterior, wins: Sequence[Pair]) -> Drawn:
    """Each draw with its mirror image about the mode; always the same ones."""
    worths, covariance = posterior
    half = np.random.default_rng(SEED).standard_normal((DRAWS // 2, len(worths)))
    standard = np.vstack([half, -half])
    drawn = worths + standard @ np.linalg.cholesky(covariance).T
    difference, times = _differences(len(worths), wins)
    log_posterior = -np.logaddexp(0, -drawn @ difference.T) @ times
    log_posterior -= (drawn**2).sum(axis=1) / (2 * PRIOR_SD**2)
    log_weight = log_posterior + (standard**2).sum(axis=1) / 2
    weight = np.exp(log_weight - log_weight.max())
    return Drawn(drawn, weight / weight.sum())


def _island(
    island: list[int], plain: Posterior, wide: Posterior, drawn: Drawn, wins: Sequence[Pair]
) -> tuple[Ranked, ...]:
    n = len(island)
    comparisons = sum(winner in island for winner, _ in wins)
    few = float(special.stdtrit(max(1, comparisons - 1), 0.975))  # Student's t
    at, sd = _above_mean(plain, island)
    wide_at, wide_sd = _above_mean(wide, island)
    low = np.minimum(at - Z_95 * sd, wide_at - few * wide_sd)
    high = np.maximum(at + Z_95 * sd, wide_at + few * wide_sd)
    first = drawn.worths[:, island].argmax(axis=1)
    best = np.bincount(first, weights=drawn.share, minlength=n)
    won, lost = (Counter(pair[side] for pair in wins) for side in (0, 1))
    columns = zip(at.tolist(), low.tolist(), high.tolist(), best.tolist(), strict=True)
    ranked = [
        Ranked(cup, *numbers, won[cup], lost[cup])
        for cup, numbers in zip(island, columns, strict=True)
    ]
    return tuple(sorted(ranked, key=lambda one: (-one.worth, one.cup)))


def _above_mean(posterior: Posterior, island: list[int]) -> tuple[Floats, Floats]:
    """Worths above the island's mean, and their SD. What all have in common no
    comparison can tell, and it moves none of them past another."""
    above = np.eye(len(island)) - 1 / len(island)
    own = above @ posterior.covariance[np.ix_(island, island)] @ above
    return above @ posterior.worths[island], np.sqrt(np.diag(own).clip(0))


def _next(drawn: Drawn, open_to: Sequence[int]) -> Next | None:
    """The pair whose outcome and the best cup share most information (Lindley 1956, Ann. Math.
    Statist. 27:986), over the draws; the best of all, whether or not comparisons link them."""
    worths, share = drawn
    cups = worths.shape[1]
    best = worths.argmax(axis=1)
    chances: Floats = np.bincount(best, weights=share, minlength=cups).astype(float)
    likely = sorted(sorted(open_to, key=lambda cup: (-chances[cup], cup))[:MOST_IN_NEXT])
    pairs = [(i, j) for n, i in enumerate(likely) for j in likely[n + 1 :]]
    if not pairs:
        return None
    first, second = np.array(pairs).T
    p = _logistic(worths[:, first] - worths[:, second])  # one column a pair
    # The chance that a cup is best and the first of a pair is preferred, and that of the latter.
    both = (np.eye(cups)[best] * share[:, None]).T @ p
    outcome = share @ p
    told = (
        _entropy(chances[:, None])
        + _entropy(np.vstack([outcome, 1 - outcome]))
        - _entropy(np.vstack([both, chances[:, None] - both]))
    )
    most = int(np.argmax(told))
    return Next(pairs[most], float(told[most]), float(_entropy(chances[:, None])[0]))


def _entropy(chances: Floats) -> Floats:
    """In bits, of each column."""
    positive = np.where(chances > 0, chances, 1.0)
    entropy: Floats = -(positive * np.log2(positive)).sum(axis=0)
    return entropy
