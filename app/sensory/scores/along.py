"""Which settings moved along an axis, so that their part cannot be told from that of the axis.

Said of Kendall's tau-b of 0.3 or more, up or down, in at least two cups: our own rule, which would
rather name one setting too many.
"""

from collections.abc import Mapping, Sequence

from app.sensory.lazy import np
from app.sensory.scores.kendall import Line

LEAST_TAU = 0.3
LEAST_CUPS = 2
LEAST_KNOWN = 5


def moved_along(
    x: Sequence[float], settings: Mapping[str, tuple[Sequence[object], float]]
) -> list[str]:
    """Names of the `settings` that moved along x.

    Each is a value a cup (None or "" where it was not noted), numbers or words, and the tolerance
    within which two numbers count as the same.
    """
    return [name for name, (values, same) in settings.items() if _moved(x, values, same)]


def _moved(x: Sequence[float], values: Sequence[object], same: float) -> bool:
    known = [(at, value) for at, value in zip(x, values, strict=True) if value not in (None, "")]
    if len(known) < LEAST_KNOWN:
        return False
    if all(isinstance(value, int | float) for _, value in known):
        numbers = [float(value) for _, value in known if isinstance(value, int | float)]
        middle = float(np.median(numbers))
        away = sum(abs(number - middle) > same for number in numbers)
        return away >= LEAST_CUPS and _tau([at for at, _ in known], numbers) >= LEAST_TAU
    return any(
        _took_over([at for at, _ in known], [v == word for _, v in known])
        for word in {v for _, v in known}
    )


def _took_over(x: Sequence[float], is_it: Sequence[bool]) -> bool:
    """Whether one of several words stands early or late on the axis."""
    away = min(sum(is_it), len(is_it) - sum(is_it))
    return away >= LEAST_CUPS and _tau(x, [float(it) for it in is_it]) >= LEAST_TAU


def _tau(x: Sequence[float], y: Sequence[float]) -> float:
    tau, _ = Line(np.asarray(x, dtype=float), np.asarray(y, dtype=float), 1.0).evidence()
    return abs(tau)
