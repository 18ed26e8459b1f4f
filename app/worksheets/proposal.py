"""The brew that an answer amounts to: an address that opens it as tomorrow's, or a recipe."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

from flask import url_for

from app.brewing.plans.refit import resteep, weighable
from app.brewing.plans.scaling import Plan
from app.brewing.strength.cup import Cup, check_cup
from app.journal.revising import VALUES, Draft, steps_of_brew
from app.models import Brew
from app.models.base import NAME_CHARS
from app.web.brew_address import FROM_ADDRESS, as_typed
from app.web.formats import formats
from app.worksheets.start import Start, whole_step

PLAIN: dict[str, Any] = dict.fromkeys(VALUES) | {"grind": "medium", "flipped": False}


@dataclass(frozen=True)
class Proposal:
    """`values` are what is known of a recipe's columns; `label` tells two proposals apart."""

    values: Mapping[str, Any]
    steps: Sequence[Mapping[str, Any]]
    start: Start
    label: str = ""

    def brew_address(self) -> str:
        """The brew form, filled in as a person would have typed it."""
        names = sorted(FROM_ADDRESS & self.values.keys())
        typed: dict[str, Any] = {name: as_typed(name, self.values[name]) for name in names}
        typed["revision_id"] = ""  # these numbers are no recipe's, whatever the last brew was
        if "brew" in self.start.address:
            typed["like"] = self.start.address["brew"]
        return url_for("brews.new", **typed)

    def name(self) -> str:
        """A name to keep it by."""
        write, values = formats().grams, self.values
        added = [
            f" + {write(values[name])}{word}"
            for name, word in (("bypass_g", ""), ("ice_g", " ice"))
            if values[name]
        ]
        amounts = f"{write(values['dose_g'])} in {write(values['water_g'])}{''.join(added)}"
        origin = self.start.recipe.name if self.start.recipe else ""
        return f"{origin}, {amounts}".removeprefix(", ")[-NAME_CHARS:]

    def draft(self, name: str, note: str, why: str) -> Draft:
        values = PLAIN | {name: self.values[name] for name in VALUES if name in self.values}
        return Draft(name, note, why, values, self.steps)


def propose(
    start: Start,
    plan: Plan,
    how: Mapping[str, Any] | None = None,
    *,
    brewer_id: int | None = None,
    label: str = "",
) -> Proposal:
    """A proposal in weights that a scale shows; `plan` carries the steps of the start.

    Raises ValueError with a sentence when an amount is more or less than can be brewed.
    """
    plan = weighable(plan)
    values = {name: start.values[name] for name in VALUES if name in start.values} | dict(how or {})
    if brewer_id is not None:
        values["brewer_id"] = brewer_id
    for name in ("dose_g", "water_g", "bypass_g", "ice_g"):
        values[name] = getattr(plan, name)
    check_cup(Cup("other", plan.dose_g, plan.water_g, plan.bypass_g, plan.ice_g))
    steps = resteep(plan.steps, start.values.get("steep_s"), values.get("steep_s"))
    return Proposal(values, _steps(replace(plan, steps=steps), values), start, label)


def _steps(plan: Plan, values: Mapping[str, Any]) -> list[dict[str, Any]]:
    if not plan.steps:
        known = {name: value for name, value in values.items() if name in VALUES}
        return [whole_step(step) for step in steps_of_brew(Brew(**known))]
    return [whole_step(asdict(step)) for step in plan.steps]
