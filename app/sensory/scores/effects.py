"""What an experiment found: effects of its factors with their 95 % ranges.

Least squares on coded settings (-1 low, 1 high), as they were brewed: an effect is the change of
the score from low to high (Box, Hunter & Hunter, Statistics for Experimenters; from memory). The
spread is what the model leaves; with two factors at their planned settings that is the spread
between repeats and nothing else.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import sqrt
from typing import Literal, NamedTuple

from app.sensory.lazy import Floats, np, special
from app.sensory.scores.design import found_beyond
from app.sensory.scores.repeats import LEAST_SD

LEAST_CUPS = 6
LEAST_DF = 2
DF_FOR_DRIFT = 4  # left besides, where the days are taken out as well
MOST_SHARED = 5.0  # variance inflation: beyond it effects are not told apart
ROOM = 1e-9

Kind = Literal["factor", "two", "middle"]
Term = tuple[int, ...]  # the factors that it multiplies; none for the middle


class Tried(NamedTuple):
    """A brew: its coded settings, its score, and its day counted from any day."""

    coded: tuple[float, ...]
    score: float
    day: float


@dataclass(frozen=True)
class Effect:
    """A change of the score in points, with its 95 % range; `found` where the range that holds for
    all effects together leaves 0 out.

    Of a factor: from low to high. Of two: half of how much the effect of one differs between low
    and high of the other. Of the middle: over the mean of the corners. `error` is its standard
    error.
    """

    kind: Kind
    factors: Term
    points: float
    error: float
    low: float
    high: float
    found: bool


@dataclass(frozen=True)
class Effects:
    """What was fitted. `untold` are the terms that cannot be told apart; `sd` (points) is the
    spread of one score on `df` degrees of freedom; `drift` what a score moved by from the first day
    to the last, None where it was not looked at. `alone`: twos are not among the effects, so that
    each factor is taken to act by itself."""

    effects: tuple[Effect, ...]
    untold: tuple[Term, ...]
    cups: int
    sd: float
    df: int
    drift: float | None

    @property
    def least(self) -> float:
        """How large an effect of a factor has to be to be found at all, on average."""
        beyond = found_beyond(self.df, len(self.effects))
        errors = [one.error for one in self.effects if one.kind == "factor"]
        return beyond * max(errors, default=self.sd)

    def of(self, *factors: int) -> Effect | None:
        """The effect of these factors; of the middle where none is named."""
        return next((one for one in self.effects if one.factors == factors), None)


def fit_effects(tried: Sequence[Tried]) -> Effects | None:
    """Effects of all that was tried; None where too few cups are left to say how sure they are.

    A term that falls together with those before it (factors, the middle, twos) is left out, by the
    settings alone: no score decides what is looked at.
    """
    if len(tried) < LEAST_CUPS:
        return None
    x = np.array([cup.coded for cup in tried], dtype=float)
    y = np.array([cup.score for cup in tried], dtype=float)
    factors = x.shape[1]
    terms: list[Term] = [(n,) for n in range(factors)]
    terms += [(), *combinations(range(factors), 2)]
    kept, z = _told_apart(x, terms)
    if len(y) - z.shape[1] < LEAST_DF or not kept:
        return None
    days = np.array([cup.day for cup in tried], dtype=float)
    with_days = _with(z, days)
    drifts = len(y) - z.shape[1] - 1 >= DF_FOR_DRIFT and with_days is not None
    if drifts and with_days is not None:
        z = with_days
    inverse = np.linalg.inv(z.T @ z)
    fit = inverse @ z.T @ y
    df = len(y) - z.shape[1]
    residuals = y - z @ fit
    sd = max(sqrt(float(residuals @ residuals) / df), LEAST_SD)
    effects = tuple(
        _effect(term, float(fit[n]), sd * sqrt(float(inverse[n, n])), df, len(kept))
        for n, term in enumerate(kept, 1)
    )
    untold = tuple(term for term in terms if term not in kept)
    drift = float(fit[-1] * (days.max() - days.min())) if drifts else None
    return Effects(effects, untold, len(y), sd, df, drift)


def _effect(term: Term, slope: float, error: float, df: int, looked_at: int) -> Effect:
    scale = 2.0 if term else -1.0  # from -1 to 1; the middle is where the squares are 0
    points, error = scale * slope, abs(scale) * error
    half = float(special.stdtrit(df, 0.975)) * error
    beyond = found_beyond(df, looked_at) * error
    kind: Kind = "factor" if len(term) == 1 else "two" if term else "middle"
    return Effect(kind, term, points, error, points - half, points + half, abs(points) > beyond)


def column(x: Floats, term: Term) -> Floats:
    """A term's column: a product of factors; for the middle how far out a brew is (corners 1)."""
    values = np.prod(x[:, list(term)], axis=1) if term else np.mean(x**2, axis=1)
    return np.asarray(values, dtype=float)


def _told_apart(x: Floats, terms: Sequence[Term]) -> tuple[list[Term], Floats]:
    """The terms that can be told apart, and the columns: 1, then theirs."""
    kept: list[Term] = []
    z = np.ones((len(x), 1))
    for term in terms:
        more = _with(z, column(x, term))
        if more is not None and len(x) - more.shape[1] >= LEAST_DF:
            kept.append(term)
            z = more
    return kept, z


def _with(z: Floats, values: Floats) -> Floats | None:
    """The columns and one more; None where any of them then says what the others say."""
    more = np.column_stack((z, values))
    if len(more) <= more.shape[1] or np.linalg.matrix_rank(more) < more.shape[1]:
        return None
    spread = np.sum((more[:, 1:] - more[:, 1:].mean(axis=0)) ** 2, axis=0)
    inverse = np.linalg.inv(more.T @ more)
    shared = spread * np.diag(inverse)[1:]
    return more if float(shared.max()) <= MOST_SHARED + ROOM else None
