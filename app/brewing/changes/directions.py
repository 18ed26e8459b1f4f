"""Which way strength and extraction move what a taster answers on just-right scales.

Marginal means of a trained panel, drip coffee, on a line of 0 to 100 (Frost, Ristenpart & Guinard
2020, doi 10.1111/1750-3841.15326): TDS 1.00 / 1.25 / 1.50 % and extraction 16 / 20 / 24 %. Sourness
stands for acidity, thickness for body; clarity was not asked there, so nothing is said of it.
Strength itself is what more TDS means. That hotter water by itself changes anything was not found
(Batali et al. 2020, Sci. Rep. 10:16450, 87 to 93 °C at equal strength and extraction), so no
temperature is proposed here.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Lever = Literal["stronger", "weaker", "more extraction", "less extraction"]

# From the lowest to the highest of each, points of the line; none where no effect was reported.
BY_TDS = {"bitterness": 44 - 32, "acidity": 37 - 26, "sweetness": 24 - 28, "body": 47 - 40}
BY_EXTRACTION = {"bitterness": 40 - 35, "acidity": 28 - 35}
STRENGTH = 12  # as much as the scale that TDS moves most: our own choice
EFFECTS: Mapping[Lever, Mapping[str, int]] = {
    "stronger": {"strength": STRENGTH, **BY_TDS},
    "weaker": {"strength": -STRENGTH, **{name: -by for name, by in BY_TDS.items()}},
    "more extraction": BY_EXTRACTION,
    "less extraction": {name: -by for name, by in BY_EXTRACTION.items()},
}
LEAST_HELP = 4  # points; sweetness by TDS is the smallest effect that is taken up


@dataclass(frozen=True, slots=True)
class Direction:
    """One lever with the attributes it moves towards just right, and those it moves away."""

    lever: Lever
    helps: tuple[str, ...]
    hurts: tuple[str, ...]
    net: int


def directions(wanted: Mapping[str, int]) -> list[Direction]:
    """Levers for what is off, the most helpful first.

    `wanted` is 1 for an attribute there is too little of, -1 for one there is too much of.

    >>> [(one.lever, one.net) for one in directions({"acidity": -1})]
    [('weaker', 11), ('more extraction', 7)]
    >>> directions({"clarity": 1})
    []
    """
    found = [_direction(lever, wanted) for lever in EFFECTS]
    return sorted((one for one in found if one.net >= LEAST_HELP), key=lambda one: -one.net)


def _direction(lever: Lever, wanted: Mapping[str, int]) -> Direction:
    by = {name: sign * EFFECTS[lever].get(name, 0) for name, sign in wanted.items()}
    return Direction(
        lever,
        tuple(name for name, points in by.items() if points > 0),
        tuple(name for name, points in by.items() if points < 0),
        sum(by.values()),
    )
