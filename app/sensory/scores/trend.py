"""The trend of scores along one axis: a robust line, its range, and a sentence on both.

The line is that of Theil 1950 and Sen 1968 (median slope of all pairs), its range follows from the
variance of Kendall's S with ties in both axes (Kendall 1970), the guide is LOWESS (Cleveland 1979).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, log10, sqrt

from app.sensory import Z_95
from app.sensory.lazy import Floats, np

LEAST_POINTS = 5
FEW_POINTS = 10
LAG1_CAUTION = 0.3


@dataclass(frozen=True)
class Trend:
    """A line through n points: its slope, in y per unit of x, with the slope's 95 % range.

    `guide` are (x, y) of a smooth curve, `lag1` the correlation of neighbouring residuals.
    """

    n: int
    slope: float
    low: float
    high: float
    intercept: float
    guide: tuple[tuple[float, float], ...]
    lag1: float | None
    sentence: str
    cautions: tuple[str, ...]


def trend(x: Sequence[float], y: Sequence[float], *, what: str, per: str) -> Trend | None:
    """The trend of y along x, or None for fewer than 5 points or an x that never changes.

    `what` names y and `per` one unit of x in the sentence: "liking", "day". Points with the same x
    should be given in the order of time. Raises ValueError where the lengths differ or a number is
    not finite.
    """
    if len(x) != len(y):
        raise ValueError("x and y need the same number of points")
    order = np.argsort(np.asarray(x, dtype=float), kind="stable")
    xs, ys = np.asarray(x, dtype=float)[order], np.asarray(y, dtype=float)[order]
    if not (np.isfinite(xs).all() and np.isfinite(ys).all()):
        raise ValueError("every point needs two finite numbers")
    if len(xs) < LEAST_POINTS or xs[0] == xs[-1]:
        return None
    slope, low, high = theil_sen(xs, ys)
    intercept = float(np.median(ys) - slope * np.median(xs))
    lag1 = lag1_correlation(ys - intercept - slope * xs)
    first_of_x = np.concatenate(([True], np.diff(xs) > 0))
    smooth = lowess(xs, ys)[first_of_x]
    guide = tuple(zip(xs[first_of_x].tolist(), smooth.tolist(), strict=True))
    sentence = _sentence(len(xs), slope, low, high, what, per)
    return Trend(
        len(xs), slope, low, high, intercept, guide, lag1, sentence, _cautions(len(xs), lag1)
    )


def theil_sen(x: Floats, y: Floats) -> tuple[float, float, float]:
    """Median slope of all pairs with different x, and its 95 % range: (slope, low, high)."""
    dx, dy = x - x[:, None], y - y[:, None]
    slopes = np.sort(dy[dx > 0] / dx[dx > 0])
    wide = Z_95 * sqrt(kendall_variance(x, y))
    last = len(slopes) - 1
    at_low = max(round((last + 1 - wide) / 2) - 1, 0)
    at_high = min(round((last + 1 + wide) / 2), last)
    return float(np.median(slopes)), float(slopes[at_low]), float(slopes[at_high])


def kendall_variance(x: Floats, y: Floats) -> float:
    """Variance of Kendall's S without association, with ties in x and y, for 3 points or more."""
    n = len(x)
    tx = np.unique(x, return_counts=True)[1].astype(float)
    ty = np.unique(y, return_counts=True)[1].astype(float)

    def triples(t: Floats) -> float:
        return float(np.sum(t * (t - 1) * (2 * t + 5)))

    plain = (n * (n - 1) * (2 * n + 5) - triples(tx) - triples(ty)) / 18
    pairs = np.sum(tx * (tx - 1)) * np.sum(ty * (ty - 1)) / (2 * n * (n - 1))
    threes = np.sum(tx * (tx - 1) * (tx - 2)) * np.sum(ty * (ty - 1) * (ty - 2))
    return max(0.0, float(plain + pairs + threes / (9 * n * (n - 1) * (n - 2))))


def lowess(x: Floats, y: Floats, share: float = 2 / 3, rounds: int = 3) -> Floats:
    """Locally weighted straight lines at every x, which is sorted.

    Each uses a `share` of the points; `rounds` reweight them by their residuals.
    """
    weights = _tricube(x, max(2, int(share * len(x) + 1e-10)))
    robust = np.ones_like(y)
    for _ in range(rounds + 1):
        fit = _local_lines(x, y, weights * robust)
        residual = np.abs(y - fit)
        middle = float(np.median(residual))
        if middle < 1e-7 * float(residual.mean()):  # most points are on the line
            break
        scaled = np.minimum(residual / (6 * middle), 1) if middle > 0 else np.zeros_like(residual)
        robust = (1 - scaled**2) ** 2
    return fit


def _tricube(x: Floats, k: int) -> Floats:
    """Row i: the weights of all points at x[i], zero beyond its k nearest neighbours."""
    distance = np.abs(x[:, None] - x)
    radius = np.partition(distance, k - 1, axis=1)[:, k - 1 : k]
    inside = np.divide(distance, radius, out=np.where(distance > 0, 1.0, 0.0), where=radius > 0)
    return np.where(inside < 1, (1 - np.minimum(inside, 1) ** 3) ** 3, 0.0)


def _local_lines(x: Floats, y: Floats, weights: Floats) -> Floats:
    """At every x the weighted least-squares line there; y itself where all weights vanish."""
    total = weights.sum(axis=1)
    known = total > 1e-12
    w = weights / np.where(known, total, 1.0)[:, None]
    mean_x, mean_y = w @ x, w @ y
    away = x - mean_x[:, None]
    spread = (w * away**2).sum(axis=1)
    slope = (w * away) @ y / np.maximum(spread, 1e-12)
    return np.where(known, mean_y + slope * (x - mean_x), y)


def lag1_correlation(residuals: Floats) -> float | None:
    """Correlation of each residual with the next, or None where all are equal."""
    centred = residuals - residuals.mean()
    total = float(centred @ centred)
    if total < 1e-18:
        return None
    return float(centred[1:] @ centred[:-1]) / total


def _sentence(n: int, slope: float, low: float, high: float, what: str, per: str) -> str:
    middle, least, most = _texts(slope, low, high)
    span = f"95 % range {least} to {most}"
    if low > 0:
        body = f"{what} rose by about {middle} per {per} ({span})"
    elif high < 0:
        body = f"{what} fell, a change of about {middle} per {per} ({span})"
    else:
        body = f"{what} shows no clear direction: about {middle} per {per} ({span})"
    return f"In these {n} cups {body}. This is a pattern in a journal, not an experiment."


def _texts(slope: float, low: float, high: float) -> tuple[str, ...]:
    """The three as text: two digits of the slope, one of each end, at most four decimals."""
    wanted = ((slope, 1), (low, 0), (high, 0))
    decimals = [extra - floor(log10(abs(v))) for v, extra in wanted if v]
    places = min(4, max([0, *decimals]))
    return tuple(f"{v:.{places}f}".replace("-", "−") for v in (slope + 0.0, low + 0.0, high + 0.0))


def _cautions(n: int, lag1: float | None) -> tuple[str, ...]:
    cautions = []
    if n < FEW_POINTS:
        cautions.append(f"Only {n} cups: one more could turn the line.")
    if lag1 is not None and lag1 > LAG1_CAUTION:
        cautions.append(
            f"Cups next to each other resemble each other (correlation {lag1:.2f}), "
            "so the range is shorter than it should be."
        )
    return tuple(cautions)
