"""What a planned brew is made with: the recipe of that day, the grinder setting, and errors."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from typing import Any

from seed_demo.calendar import PlannedBrew
from seed_demo.household import ALIKE
from seed_demo.recipes import RECIPES, revision_on

MARKS = {
    "morning": 24,
    "second": 25,
    "flipped": 28,
    "for two": 24,
    "iced": 23,
    "short": 17,
    "cone": 13,
    "pot": 19,
}
ON_THE_ELECTRIC = ("cone", "pot")
MARK_FOR_A_PRESS = 10
BOILED_SINCE_DAY = 41
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
        """Grain size (micrometres): 19.5 a click by hand; by motor 140 and 31 for each dot."""
        return 19.5 * self.mark if self.grinder == "hand" else 140.0 + 31.0 * self.mark

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
    usual_water = "boiled" if plan.day >= BOILED_SINCE_DAY else "tap"
    values |= {key: value for key, value in change.items() if key in values}
    del values["grind"]
    water = change.get("water", usual_water)
    brewer = written.brewer
    if plan.pair is not None and brewer in ALIKE:
        brewer = ALIKE[plan.second]
    return BrewSetup(brewer, grinder, water, mark, values)


def _sloppy(values: dict[str, Any], rng: Random) -> None:
    values["dose_g"] = round(values["dose_g"] + rng.choice((-0.2, -0.1, 0.1, 0.2, 0.3)), 1)
    values["water_g"] += rng.choice((-4.0, -2.0, -1.0, 1.0, 2.0, 3.0))
    values["steep_s"] += rng.choice((-10, -5, 5, 10, 15))
