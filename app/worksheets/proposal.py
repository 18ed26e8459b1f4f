"""The brew that an answer amounts to: an address that opens it as tomorrow's, or a recipe."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any

from flask import url_for

from app.brewing.plans.refit import resteep, weighable
from app.brewing.plans.scaling import Plan, PlannedStep
from app.brewing.strength.cup import Cup, check_cup
from app.journal.revising import Draft, plain_steps
from app.models.base import NAME_CHARS
from app.models.recipes import RevisionValues
from app.web.brew_address import FROM_ADDRESS, as_typed
from app.web.formats import formats
from app.worksheets.start import Start

OF_A_REVISION = {field.name for field in fields(RevisionValues)}


@dataclass(frozen=True)
class Proposal:
    """`values` are what is known of a recipe's columns; `label` tells two proposals apart."""

    values: Mapping[str, Any]
    steps: Sequence[PlannedStep]
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
        return Draft(name, note, why, _revision_values(self.values), self.steps)


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
    values = {name: start.values[name] for name in OF_A_REVISION & start.values.keys()}
    values |= how or {}
    if brewer_id is not None:
        values["brewer_id"] = brewer_id
    for name in ("dose_g", "water_g", "bypass_g", "ice_g"):
        values[name] = getattr(plan, name)
    check_cup(Cup("other", plan.dose_g, plan.water_g, plan.bypass_g, plan.ice_g))
    steps = resteep(plan.steps, start.values.get("steep_s"), values.get("steep_s"))
    return Proposal(values, steps or plain_steps(_revision_values(values)), start, label)


def _revision_values(values: Mapping[str, object]) -> RevisionValues:
    """What is known of a revision; the rest as it usually is."""
    known: dict[str, Any] = {
        name: value for name, value in values.items() if name in OF_A_REVISION and value is not None
    }
    return RevisionValues(**known)
