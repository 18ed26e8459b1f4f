"""The brew that an answer amounts to: a URL that opens it in the brew form, or a recipe."""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import Any

from flask import url_for

from app.brewing.plans.refit import resteep, weighable
from app.brewing.plans.scaling import Plan
from app.brewing.strength.cup import Cup, check_cup
from app.journal.revising import Draft, plain_steps
from app.models.base import NAME_CHARS
from app.models.recipes import RevisionValues
from app.web.brew_url import FROM_URL, as_typed
from app.web.formats import formats
from app.worksheets import invented
from app.worksheets.forms import HOW, ChosenBrewer
from app.worksheets.start import Start, Value

OF_A_REVISION = {field.name for field in fields(RevisionValues)}


@dataclass(frozen=True)
class Proposal:
    """`values` are what is known of a recipe's columns; `label` tells two proposals apart."""

    plan: Plan
    values: Mapping[str, Value]
    start: Start
    label: str = ""

    def brew_url(self) -> str:
        """The brew form, filled in as a person would have typed it."""
        names = sorted(FROM_URL & self.values.keys())
        typed: dict[str, Any] = {name: as_typed(name, self.values[name]) for name in names}
        typed["revision_id"] = ""  # these numbers are no recipe's, whatever the last brew was
        if "brew" in self.start.query:
            typed["like"] = self.start.query["brew"]
        return url_for("brews.new", **typed)

    def name(self) -> str:
        """A name to keep it by."""
        grams, plan = formats().grams, self.plan
        bypass = f" + {grams(plan.bypass_g)}" if plan.bypass_g else ""
        ice = f" + {grams(plan.ice_g)} ice" if plan.ice_g else ""
        amounts = f"{grams(plan.dose_g)} in {grams(plan.water_g)}{bypass}{ice}"
        origin = self.start.recipe.name if self.start.recipe else ""
        return f"{origin}, {amounts}".removeprefix(", ")[-NAME_CHARS:]

    def draft(self, name: str, note: str, why: str) -> Draft:
        return Draft(name, note, why, _revision_values(self.values), self.plan.steps)


def propose_cup(
    start: Start, cup: Cup, brewer: ChosenBrewer, *, bag_id: int | None = None, label: str = ""
) -> Proposal:
    """A proposal to make this cup, by the steps of the start."""
    plan = start.plan(cup.dose_g, cup.water_g, cup.bypass_g, cup.ice_g)
    values = {name: getattr(cup, name) for name in HOW if _said(start, cup, name)}
    values |= {"bag_id": bag_id} if bag_id is not None else {}
    return propose(start, plan, brewer, values, label)


def _said(start: Start, cup: Cup, name: str) -> bool:
    """Whether a brew, a recipe or a person said this: what only the sheet invented goes nowhere."""
    return start.made is not None or getattr(cup, name) not in invented.HOW.get(name, ())


def propose(
    start: Start, plan: Plan, brewer: ChosenBrewer, over: Mapping[str, Any], label: str = ""
) -> Proposal:
    """A proposal in weights that a scale shows; values of `over` replace those of the start.

    Raises ValueError with a sentence when an amount is more or less than can be brewed.
    """
    plan = weighable(plan)
    data = start.form_data
    values = {name: data[name] for name in OF_A_REVISION & data.keys()} | dict(over)
    values |= {"brewer_id": brewer.brewer_id} if brewer.brewer_id is not None else {}
    values |= {name: getattr(plan, name) for name in ("dose_g", "water_g", "bypass_g", "ice_g")}
    check_cup(Cup("other", plan.dose_g, plan.water_g, plan.bypass_g, plan.ice_g))
    was_s = start.made.steep_s if start.made else None
    steps = resteep(plan.steps, was_s, over.get("steep_s", was_s))
    steps = steps or tuple(plain_steps(_revision_values(values)))
    return Proposal(replace(plan, steps=steps), values, start, label)


def _revision_values(values: Mapping[str, Value]) -> RevisionValues:
    """What is known of a revision; the rest as it usually is."""
    known: dict[str, Any] = {
        name: value for name, value in values.items() if name in OF_A_REVISION and value is not None
    }
    return RevisionValues(**known)
