"""Whether two brews make a fair test: how many things that somebody sets differ between them.

The rule is our own. Numbers closer than their tolerance count as the same. What follows from
another difference is named, but not counted: the ratio follows the dose, the press time a finer
grind. What was noted for one brew only cannot be told, and is named too.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from math import isclose
from typing import Literal

State = Literal["same", "close", "differs", "follows", "unknown", "blank"]
Verdict = Literal["repeat", "one", "several"]

# In the unit of the name; what a kitchen scale, a kettle and a hand can hold to.
TOLERANCES: dict[str, float] = {
    "dose_g": 0.2,
    "water_g": 1.0,
    "bypass_g": 1.0,
    "ice_g": 1.0,
    "water_temp_c": 1.0,
    "steep_s": 5.0,
    "press_s": 5.0,
    "press_effort": 1.0,
    "age_days": 3.0,
}
SAME_PROPORTION = 0.02

LABELS = {
    "bag_id": "bag",
    "age_days": "days of rest",
    "brewer_id": "brewer",
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
_RESISTANCE = ("brewer_id", "stack", "use", "grinder_id", "grind", "grind_setting", "dose_g")
# What may follow from what. Press and grind: common practice, no source.
FOLLOWS: dict[str, tuple[str, ...]] = {
    "age_days": ("bag_id",),
    "stack": ("brewer_id",),
    "flipped": ("brewer_id",),
    "grind_setting": ("grinder_id", "grind"),
    "press_s": _RESISTANCE,
    "press_effort": (*_RESISTANCE, "press_s"),
    "steps": ("water_g", "bypass_g", "ice_g", "steep_s", "press_s", "stirs", "brewer_id"),
}


@dataclass(frozen=True, slots=True)
class Settings:
    """What was set for one brew; None or empty is not noted.

    `age_days` counts days the bag was not frozen, from any start that is the bag's own. `stack`
    is the material and pack of each filter, `use` the highest use number of its paper or cloth
    (a metal filter is taken not to change). `steps` are kind, start, length and share of the
    brew water of each step.
    """

    bag_id: int
    age_days: int
    brewer_id: int
    stack: tuple[tuple[str, int], ...]
    use: int | None
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
    steps: tuple[tuple[str, int | None, int | None, float | None], ...] = ()


NAMES = tuple(field.name for field in fields(Settings))


@dataclass(frozen=True, slots=True)
class Fairness:
    """What was found, a state for each field of Settings."""

    states: Mapping[str, State]

    def named(self, state: State) -> list[str]:
        return [LABELS[name] for name in NAMES if self.states[name] == state]

    @property
    def verdict(self) -> Verdict:
        count = len(self.named("differs"))
        return "repeat" if count == 0 else "one" if count == 1 else "several"

    @property
    def sentence(self) -> str:
        causes = self.named("differs")
        if not causes:
            return (
                "Nothing differs beyond the tolerance: a repeat. Any difference in taste is the "
                "scatter between cups of one recipe."
            )
        if len(causes) == 1:
            return f"A fair test: only the {causes[0]} differs."
        return (
            f"Not a fair test: {len(causes)} things differ ({listed(causes)}), so no single "
            "cause can be named."
        )


def compare(a: Settings, b: Settings) -> Fairness:
    """The state of each field between two brews; swapping them changes nothing."""
    raw = {name: _state(name, a, b) for name in NAMES}
    differing = {name for name, state in raw.items() if state == "differs"}
    states: dict[str, State] = {}
    for name, state in raw.items():
        follows = bool(differing.intersection(FOLLOWS.get(name, ())))
        if state == "differs" and (follows or _in_proportion(name, a, b, differing)):
            state = "follows"
        elif state == "unknown" and follows:
            state = "blank"
        states[name] = state
    return Fairness(states)


def agrees(a: Settings, b: Settings) -> bool:
    """Whether two brews are repeats: all that was noted agrees, and the same things were noted."""
    return all(_state(name, a, b) in {"same", "close", "blank"} for name in _QUICKEST_FIRST)


_QUICKEST_FIRST = ("dose_g", "age_days", "water_g", *(n for n in NAMES if n not in TOLERANCES))
_QUICKEST_FIRST += tuple(n for n in NAMES if n not in _QUICKEST_FIRST)


def listed(words: list[str]) -> str:
    """a; a and b; a, b and c."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def _state(name: str, a: Settings, b: Settings) -> State:
    ours, theirs = getattr(a, name), getattr(b, name)
    if ours == theirs:
        return "blank" if ours is None or ours == "" or ours == () else "same"
    if ours in (None, "", ()) or theirs in (None, "", ()):
        # A brew without recipe steps, or with a metal filter, has none to compare.
        return "blank" if name in ("steps", "use") else "unknown"
    if name == "use":
        return "close" if min(ours, theirs) > 1 and abs(ours - theirs) == 1 else "differs"
    if name == "grind_setting":
        return "same" if _same_setting(ours, theirs) else "differs"
    tolerance = TOLERANCES.get(name)
    if tolerance is not None and abs(ours - theirs) <= tolerance + 1e-9:
        return "close"
    return "differs"


def _same_setting(ours: str, theirs: str) -> bool:
    """14 and 14.0 are one setting, and so are 14,5 and 14.5."""
    try:
        return float(ours.replace(",", ".")) == float(theirs.replace(",", "."))
    except ValueError:
        return ours.casefold().split() == theirs.casefold().split()


def _in_proportion(name: str, a: Settings, b: Settings, differing: set[str]) -> bool:
    """More coffee with as much more water is one difference: the dose."""
    if name not in ("water_g", "bypass_g", "ice_g") or "dose_g" not in differing:
        return False
    ours, theirs = getattr(a, name) / a.dose_g, getattr(b, name) / b.dose_g
    return isclose(ours, theirs, rel_tol=SAME_PROPORTION)
