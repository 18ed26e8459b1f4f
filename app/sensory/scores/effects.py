"""The separate effects of several things that changed, unless they changed together.

Ordinary least squares; the variance inflation factor is 1/(1 - R^2) of one column on the others.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf

from app.sensory.lazy import Floats, np, special

LARGEST_VIF = 5.0
SPARE_CUPS = 3


@dataclass(frozen=True)
class Effect:
    """Change of the score for one unit more, with its 95 % range and variance inflation factor."""

    name: str
    change: float
    low: float
    high: float
    vif: float


@dataclass(frozen=True)
class Effects:
    """The effects, or none and a sentence on why not."""

    found: tuple[Effect, ...]
    refusal: str | None


def separate_effects(columns: Mapping[str, Sequence[float]], scores: Sequence[float]) -> Effects:
    """Effect of each of `columns` on `scores`, both with one value for each cup.

    There are none for too few cups (3 more than unknowns are needed), a column that never changes,
    or a variance inflation factor above 5, where the effects cannot be separated. Raises
    ValueError where the lengths differ.
    """
    names = list(columns)
    x = np.array([columns[name] for name in names], dtype=float).reshape(len(names), -1).T
    y = np.asarray(scores, dtype=float)
    if len(x) != len(y):
        raise ValueError("every cup needs a score and a value of everything that changed")
    if len(y) < len(names) + 1 + SPARE_CUPS:
        return Effects((), f"{len(y)} cups are too few to separate {len(names)} effects.")
    if still := [name for name, column in zip(names, x.T, strict=True) if np.ptp(column) == 0]:
        return Effects((), f"{still[0]} never changed in these cups.")
    factors = inflation(x)
    if max(factors) > LARGEST_VIF:
        mixed = [name for name, vif in zip(names, factors, strict=True) if vif > LARGEST_VIF]
        return Effects((), f"{' and '.join(mixed)} changed together: no telling which did it.")
    return Effects(_least_squares(names, x, y, factors), None)


def inflation(x: Floats) -> tuple[float, ...]:
    """Variance inflation factor of each column, infinite where they are linearly dependent."""
    if x.shape[1] == 1:
        return (1.0,)
    correlation = np.corrcoef(x, rowvar=False)
    if np.linalg.cond(correlation) > 1e12:
        return (inf,) * int(x.shape[1])
    return tuple(np.diag(np.linalg.inv(correlation)).tolist())


def _least_squares(
    names: Sequence[str], x: Floats, y: Floats, factors: tuple[float, ...]
) -> tuple[Effect, ...]:
    design = np.column_stack((np.ones(len(y)), x))
    fit, *_ = np.linalg.lstsq(design, y)
    df = len(y) - design.shape[1]
    variance = float(np.sum((y - design @ fit) ** 2)) / df
    spread = np.sqrt(variance * np.diag(np.linalg.inv(design.T @ design)))
    half = float(special.stdtrit(df, 0.975)) * spread
    return tuple(
        Effect(name, float(b), float(b - h), float(b + h), vif)
        for name, b, h, vif in zip(names, fit[1:], half[1:], factors, strict=True)
    )
