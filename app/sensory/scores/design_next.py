"""Where to go next after an experiment: a quadratic surface by ridge regression, and its highest
place within what was tried.

Ridge: Hoerl & Kennard 1970, Technometrics 12:55 (from memory). Corners and a middle do not say of
which factor a bend is; the ridge parts it evenly between them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations, product
from math import sqrt

from app.sensory.lazy import Floats, np, special
from app.sensory.scores.effects import LEAST_CUPS, Effects, Tried

PENALTY = 1.0  # expects a coefficient about as large as the noise
GRID_STEPS = 20
LEAST_GAIN = 0.05  # points; less is no better than the middle


@dataclass(frozen=True)
class Surface:
    """A fitted surface over coded settings (-1 low, 1 high)."""

    fit: Floats  # of the terms of the quadratic
    inverse: Floats
    factors: int

    def at(self, coded: Sequence[Sequence[float]]) -> list[float]:
        """The score (points) to expect at each of the coded settings."""
        heights = _terms(np.array(coded, dtype=float)) @ self.fit
        return [float(height) for height in heights]


@dataclass(frozen=True)
class Suggestion:
    """Where the surface is highest within the settings tried (coded), and by how much.

    `gain` is the difference to the middle in points; `low` and `high` are its range, wide enough
    for a place that was chosen for being highest.
    """

    coded: tuple[float, ...]
    gain: float
    low: float
    high: float

    @property
    def is_better(self) -> bool:
        return self.gain >= LEAST_GAIN


def fit_surface(tried: Sequence[Tried]) -> Surface | None:
    """The quadratic surface by ridge regression; None for fewer than six cups."""
    if len(tried) < LEAST_CUPS:
        return None
    x = np.array([cup.coded for cup in tried], dtype=float)
    y = np.array([cup.score for cup in tried], dtype=float)
    z = _terms(x)
    penalty = PENALTY * np.eye(z.shape[1])
    penalty[0, 0] = 0.0  # the overall level is not shrunk
    inverse = np.asarray(np.linalg.inv(z.T @ z + penalty), dtype=float)
    return Surface(inverse @ z.T @ y, inverse, x.shape[1])


def suggest_next(surface: Surface, effects: Effects) -> Suggestion:
    """The highest place of the surface within the box; `effects` say how far scores spread."""
    grid = _grid(surface.factors)
    best = grid[int(np.argmax(grid @ surface.fit))]
    step = best - _terms(np.zeros((1, surface.factors)))[0]
    gain = float(step @ surface.fit)
    half = _chosen(surface.factors, effects.df) * effects.sd
    half *= sqrt(float(step @ surface.inverse @ step))
    coded = tuple(float(one) for one in best[1 : 1 + surface.factors])
    return Suggestion(coded, gain, gain - half, gain + half)


def _chosen(directions: int, df: int) -> float:
    """How many standard errors hold for a place that was looked for in so many directions, after
    Scheffé 1953, Biometrika 40:87 (from memory). Over all terms of the surface it would be far too
    wide; `tests/honesty` holds this one."""
    return sqrt(directions * float(special.fdtri(directions, df, 0.95)))


def _terms(x: Floats) -> Floats:
    """Columns of the quadratic: 1, each factor, each square, each product of two."""
    products = [x[:, i] * x[:, j] for i, j in combinations(range(x.shape[1]), 2)]
    return np.column_stack((np.ones(len(x)), x, x**2, *products))


@cache
def _grid(factors: int) -> Floats:
    """The terms of the quadratic all over the box."""
    axis = np.linspace(-1, 1, GRID_STEPS + 1)
    return _terms(np.array(list(product(axis, repeat=factors))))
