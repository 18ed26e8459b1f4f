"""What the recipe form starts from: the latest revision, or a brew's own values."""

from __future__ import annotations

from typing import Any

from ..models import Brew, RecipeRevision
from .saving import STEP_VALUES, VALUES


def values_of(source: RecipeRevision | Brew) -> dict[str, Any]:
    """No bypass and no ice stand as empty fields."""
    values = {name: getattr(source, name) for name in VALUES}
    return values | {name: values[name] or None for name in ("bypass_g", "ice_g")}


def steps_of(revision: RecipeRevision) -> list[dict[str, Any]]:
    return [{name: getattr(step, name) for name in STEP_VALUES} for step in revision.steps]


def steps_of_brew(brew: Brew) -> list[dict[str, Any]]:
    """The steps that a brew's values amount to; how it was poured is not known."""
    steps: list[dict[str, Any]] = [{"kind": "pour", "starts_s": 0, "grams": brew.water_g}]
    if brew.stirs:
        steps.append({"kind": "stir", "note": "once" if brew.stirs == 1 else f"{brew.stirs} times"})
    if brew.steep_s:
        steps.append({"kind": "steep", "starts_s": 0, "lasts_s": brew.steep_s})
    if brew.press_s:
        steps.append({"kind": "press", "starts_s": brew.steep_s, "lasts_s": brew.press_s})
    if brew.bypass_g:
        steps.append({"kind": "dilute", "grams": brew.bypass_g})
    if brew.ice_g:
        steps.append({"kind": "ice", "grams": brew.ice_g})
    return steps
