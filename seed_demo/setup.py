"""What a planned brew is made with: the recipe of that day, the grinder setting, and errors."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from typing import Any

from seed_demo.calendar import PlannedBrew
from seed_demo.recipes import RECIPES, revision_on

MARKS = {
    "morning": 21,
    "flipped": 24,
    "for two": 21,
    "iced": 20,
    "short": 15,
    "cone": 14,
    "pot": 22,
}
ON_THE_ELECTRIC = ("cone", "pot")
MARK_FOR_A_PRESS = 11
JUG_SINCE_DAY = 30
COARSEST_UM = (("fine", 380.0), ("medium-fine", 500.0), ("medium", 640.0), ("medium-coarse", 820.0))
SLOPPY = 0.18


@dataclass(frozen=True, slots=True)
class BrewSetup:
    """`values` are columns of a brew; `mark` is what the grinder was set to."""

    brewer: str
    grinder: str
    water: str
    mark: int
    values: dict[str, Any]

    @property
    def size_um(self) -> float:
        """Grain size (micrometres): 22 a click by hand; by motor 150 and 27 for each mark."""
        return 22.0 * self.mark if self.grinder == "hand" else 150.0 + 27.0 * self.mark

    @property
    def grind(self) -> str:
        return next((word for word, top in COARSEST_UM if self.size_um < top), "coarse")


def setup_of(plan: PlannedBrew, dial: int, change: dict[str, Any], rng: Random) -> BrewSetup:
    """The recipe's values, now and then inexact, with what was changed on purpose."""
    written = RECIPES[plan.recipe]
    values = dict(written.revisions[revision_on(plan.recipe, plan.day)].values)
    values.setdefault("flipped", False)
    if plan.occasion == "usual" and rng.random() < SLOPPY:
        _sloppy(values, rng)
    grinder = change.get("grinder", "electric" if plan.recipe in ON_THE_ELECTRIC else "hand")
    moved = grinder == "electric" and plan.recipe not in ON_THE_ELECTRIC
    mark = (MARK_FOR_A_PRESS if moved else MARKS[plan.recipe]) + dial + change.get("setting", 0)
    usual_water = "jug" if plan.day >= JUG_SINCE_DAY else "tap"
    values |= {key: value for key, value in change.items() if key in values}
    del values["grind"]
    water = change.get("water", usual_water)
    return BrewSetup(written.brewer, grinder, water, mark, values)


def _sloppy(values: dict[str, Any], rng: Random) -> None:
    values["dose_g"] = round(values["dose_g"] + rng.choice((-0.2, -0.1, 0.1, 0.2, 0.3)), 1)
    values["water_g"] += rng.choice((-4.0, -2.0, -1.0, 1.0, 2.0, 3.0))
    values["steep_s"] += rng.choice((-10, -5, 5, 10, 15))
