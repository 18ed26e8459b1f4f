"""A smooth curve through scattered points, as a guide for the eye: LOWESS (Cleveland 1979)."""

from app.sensory.lazy import Floats, np


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
