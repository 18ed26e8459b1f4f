"""What to brew next: a factorial design with a repeated centre, then a ridge quadratic surface.

Factorial designs with centre points: Box, Hunter & Hunter, Statistics for Experimenters. Ridge:
Hoerl & Kennard 1970, Technometrics 12:55. Both from memory.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, product
from math import sqrt

from app.sensory import Z_95
from app.sensory.blind.serving import Source, shuffled
from app.sensory.lazy import Floats, np, special
from app.sensory.scores.repeats import pooled

PENALTY = 1.0  # expects a coefficient about as large as the noise
GRID_STEPS = 20
LEAST_CUPS = 6


@dataclass(frozen=True)
class Factor:
    """Something to vary, with its low and high setting in its own unit."""

    name: str
    low: float
    high: float

    def coded(self, value: float) -> float:
        """The value on the scale where low is -1 and high is 1."""
        return (2 * value - self.low - self.high) / (self.high - self.low)

    def plain(self, coded: float) -> float:
        """The setting of a coded value, the inverse of `coded`."""
        return (self.low + self.high + coded * (self.high - self.low)) / 2


@dataclass(frozen=True)
class Suggestion:
    """Where the fitted surface is highest within the settings tried, and by how much.

    `settings` has one value for each factor, in its unit. `gain` is the difference to the centre
    in points; `low` and `high` are its 95 % range, None where the noise cannot be estimated.
    """

    settings: tuple[float, ...]
    gain: float
    low: float | None
    high: float | None
    sentence: str


def factorial(
    factors: Sequence[Factor], source: Source, *, centres: int = 3, rounds: int = 1
) -> tuple[tuple[float, ...], ...]:
    """The settings of every cup to brew: each corner `rounds` times, the centre `centres` times.

    Their order is drawn from `source`, so that the ageing of the bag affects all settings alike.
    Raises ValueError for other than two or three factors, or a low setting not below its high one.
    """
    if len(factors) not in (2, 3):
        raise ValueError("two or three things can be varied at once")
    if any(factor.low >= factor.high for factor in factors):
        raise ValueError("every low setting must lie below its high one")
    corners = list(product(*((factor.low, factor.high) for factor in factors))) * rounds
    centre = tuple(factor.plain(0) for factor in factors)
    return tuple(shuffled([*corners, *[centre] * centres], source))


def resolution(cups: int, noise: float) -> float:
    """Smallest difference (points) that `cups` resolve at 95 %; `noise`: SD of one score."""
    return Z_95 * 2 * noise / sqrt(cups)


def suggest_next(
    factors: Sequence[Factor], settings: Sequence[Sequence[float]], scores: Sequence[float]
) -> Suggestion | None:
    """The best settings within the box, by a quadratic surface fitted by ridge regression.

    None for fewer than six cups; ValueError where the two lists of cups differ in length.
    """
    if len(settings) != len(scores):
        raise ValueError("every cup needs settings and a score")
    if len(scores) < LEAST_CUPS:
        return None
    x = np.array(
        [[f.coded(v) for f, v in zip(factors, row, strict=True)] for row in settings], dtype=float
    )
    y = np.asarray(scores, dtype=float)
    z = _terms(x)
    penalty = PENALTY * np.eye(z.shape[1])
    penalty[0, 0] = 0.0  # the overall level is not shrunk
    inverse = np.linalg.inv(z.T @ z + penalty)
    fit = inverse @ z.T @ y
    grid = _terms(_grid(len(factors)))
    best = grid[int(np.argmax(grid @ fit))]
    step = best - _terms(np.zeros((1, len(factors))))[0]
    gain = float(step @ fit)
    noise = _noise(settings, scores, y - z @ fit, float(np.trace(z @ inverse @ z.T)))
    half = None if noise is None else noise[0] * noise[1] * sqrt(float(step @ inverse @ step))
    coded = best[1 : 1 + len(factors)].tolist()
    at = tuple(f.plain(c) for f, c in zip(factors, coded, strict=True))
    low, high = (None, None) if half is None else (gain - half, gain + half)
    return Suggestion(at, gain, low, high, _sentence(factors, at, gain, low, high, len(y)))


def _terms(x: Floats) -> Floats:
    """Columns of the quadratic: 1, each factor, each square, each product of two."""
    products = [x[:, i] * x[:, j] for i, j in combinations(range(x.shape[1]), 2)]
    return np.column_stack((np.ones(len(x)), x, x**2, *products))


def _grid(factors: int) -> Floats:
    axis = np.linspace(-1, 1, GRID_STEPS + 1)
    return np.array(list(product(axis, repeat=factors)))


def _noise(
    settings: Sequence[Sequence[float]], scores: Sequence[float], residuals: Floats, used: float
) -> tuple[float, float] | None:
    """SD of one score and its t factor: from repeats if there are any, else from the residuals."""
    groups: dict[tuple[float, ...], list[float]] = {}
    for row, score in zip(settings, scores, strict=True):
        groups.setdefault(tuple(row), []).append(score)
    spread = pooled(list(groups.values()))
    if spread is not None and spread.sd > 0:
        return spread.sd, float(special.stdtrit(spread.df, 0.975))
    df = len(residuals) - used
    if df < 1:
        return None
    return sqrt(float(residuals @ residuals) / df), float(special.stdtrit(df, 0.975))


def _sentence(
    factors: Sequence[Factor],
    at: Sequence[float],
    gain: float,
    low: float | None,
    high: float | None,
    cups: int,
) -> str:
    where = ", ".join(f"{f.name} {v:.4g}" for f, v in zip(factors, at, strict=True))
    if gain < 0.05:
        return f"After {cups} cups nothing within what was tried looks better than the centre."
    span = "" if low is None else f" (95 % range {low:.1f} to {high:.1f})".replace("-", "−")
    return (
        f"After {cups} cups the surface is highest at {where}: about {gain:.1f} points above the "
        f"centre{span}. Brew it beside the centre before believing it."
    )
