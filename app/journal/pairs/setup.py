"""The setup of a brew: its settings, and what follows from what; our own rule."""

from typing import NamedTuple

Step = tuple[str, int | None, int | None, float | None]

LABELS = {
    "bag_id": "bag",
    "age_days": "days of rest",
    "first_brewer_id": "brewer",
    "stack": "filter",
    "use": "use of the filter",
    "grinder_id": "grinder",
    "grind": "grind",
    "grind_setting": "grinder setting",
    "dose_g": "dose",
    "water_g": "brew water",
    "bypass_g": "bypass water",
    "ice_g": "ice",
    "water_id": "kettle water",
    "water_temp_c": "water temperature",
    "steep_s": "steep",
    "press_s": "press time",
    "press_effort": "press effort",
    "flipped": "upright or flipped",
    "stirs": "stirs",
    "steps": "steps of the recipe",
}
# What belongs together when somebody asks: papers are papers, which, how many and how used.
FAMILIES = {
    "papers and filters": ("filter", "use of the filter"),
    "beans": ("bag", "days of rest"),
    "brewer": ("brewer", "upright or flipped"),
    "grinding": ("grinder", "grind", "grinder setting"),
    "amounts": ("dose", "brew water", "bypass water", "ice"),
    "water": ("kettle water", "water temperature"),
    "time and hand": ("steep", "press time", "press effort", "stirs", "steps of the recipe"),
}
# What changes a cup so surely that it is said where neither brew has a note of it.
WORTH_NOTING = (
    "age_days", "stack", "grinder_id", "water_id", "water_temp_c", "steep_s", "stirs",
)  # fmt: skip
_RESISTANCE = ("first_brewer_id", "stack", "use", "grinder_id", "grind", "grind_setting", "dose_g")
# What may follow from what. Press and grind: common practice, no source.
FOLLOWS: dict[str, tuple[str, ...]] = {
    "stack": ("first_brewer_id",),
    "flipped": ("first_brewer_id",),
    "grind_setting": ("grinder_id", "grind"),
    "press_s": _RESISTANCE,
    "press_effort": (*_RESISTANCE, "press_s"),
    "steps": ("water_g", "bypass_g", "ice_g", "steep_s", "press_s", "stirs", "first_brewer_id"),
}


class Setup(NamedTuple):
    """What was set for one brew; None or empty means not noted. A tuple, as there are many.

    `age_days` counts the days on which the bag was not frozen, from its roast, or where that was
    not noted (`roast_noted`) from a day that is the same for all brews of the bag. `stack` is the
    material and pack of each filter, `use` the highest use number of its paper or cloth filters
    (metal is taken not to change). `steps` are kind, start, length and share of the brew water of
    each step. Brewers that are alike are one cause, `first_brewer_id`; which of them it was
    (`brewer_id`) is told, and makes no difference.
    """

    bag_id: int
    first_brewer_id: int
    grinder_id: int | None
    grind: str
    grind_setting: str
    dose_g: float
    water_g: float
    bypass_g: float
    ice_g: float
    water_id: int | None
    water_temp_c: float | None
    steep_s: int | None
    press_s: int | None
    press_effort: int | None
    flipped: bool
    stirs: int | None
    age_days: int
    stack: tuple[tuple[str, int], ...] = ()
    use: int | None = None
    steps: tuple[Step, ...] = ()
    roast_noted: bool = True
    brewer_id: int = 0
