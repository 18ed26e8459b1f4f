"""The plane behind ``solve``: brew water R against added water q, both per gram of dose.

``spare`` is E - h, what dissolves less what the grounds hold, per gram of dose.
"""

from math import sqrt

StraightLine = tuple[float, float, float]  # a R + b q = c

# Each mass per gram of dose as (constant, share of R, share of q, share of spare).
MASSES = {
    "dose_g": (1.0, 0.0, 0.0, 0.0),
    "water_g": (0.0, 1.0, 0.0, 0.0),
    "added_g": (0.0, 0.0, 1.0, 0.0),
    "beverage_g": (0.0, 1.0, 1.0, 1.0),
}


def between(one: tuple[float, str], other: tuple[float, str], spare: float) -> StraightLine:
    """The line on which two known masses, each (g, name), are in proportion: m2 mu1 = m1 mu2."""
    (mass, name), (other_mass, other_name) = one, other
    first, second = MASSES[name], MASSES[other_name]
    constant, ratio, added, extra = (
        other_mass * a - mass * b for a, b in zip(first, second, strict=True)
    )
    return ratio, added, -(constant + extra * spare)


def straight(
    formula: str, extraction: float, spare: float, known: dict[str, float]
) -> list[StraightLine]:
    """A line for each known ratio and strength that is a straight one in this formula."""
    lines: list[StraightLine] = []
    if "ratio" in known:
        lines.append((1.0, 0.0, known["ratio"]))
    if "total_ratio" in known:
        lines.append((1.0, 1.0, known["total_ratio"]))
    if "brewed_strength_pct" in known:
        liquid = 100.0 * extraction / known["brewed_strength_pct"]
        lines.append((1.0, 0.0, liquid - (extraction if formula == "immersion" else spare)))
    if "strength_pct" in known and formula == "drip":
        lines.append((1.0, 1.0, 100.0 * extraction / known["strength_pct"] - spare))
    return lines


def crossing(one: StraightLine, other: StraightLine) -> tuple[float, float]:
    """Where two lines meet; ValueError when they are parallel or the same."""
    (a, b, c), (d, e, f) = one, other
    across = a * e - b * d
    if abs(across) <= 1e-12 * (abs(a * e) + abs(b * d)):
        raise ValueError("These three say the same thing twice or clash: give another one.")
    return (c * e - b * f) / across, (a * f - c * d) / across


def on_hyperbola(
    line: StraightLine, extraction: float, spare: float, cup: float
) -> list[tuple[float, float]]:
    """Points of the line where cup (R + q + spare)(R + E) = E (R + spare)."""
    a, b, c = line
    if not b:
        ratio = c / a
        return [(ratio, (ratio + spare) * (extraction / (cup * (ratio + extraction)) - 1.0))]
    slope, start = 1.0 - a / b, c / b + spare  # R + q + spare = slope R + start
    second = cup * slope
    first = cup * (start + slope * extraction) - extraction
    constant = extraction * (cup * start - spare)
    return [(ratio, (c - a * ratio) / b) for ratio in _roots(second, first, constant)]


def _roots(second: float, first: float, constant: float) -> list[float]:
    """Real roots of a quadratic, larger first; stable when one is far larger than the other."""
    if abs(second) < 1e-14 * (abs(first) + abs(constant)):
        return [-constant / first] if first else []
    inside = first * first - 4.0 * second * constant
    if inside < 0.0:
        return []
    part = -0.5 * (first + (sqrt(inside) if first >= 0.0 else -sqrt(inside)))
    roots = [part / second] + ([constant / part] if part else [])
    return sorted(roots, reverse=True)
