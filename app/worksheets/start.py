"""Where a worksheet's numbers come from: a recipe's revision, a brew, or nowhere."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from flask import abort
from sqlalchemy.orm import Session

from app.brewing.plans.refit import refit
from app.brewing.plans.scaling import Plan, PlannedStep
from app.journal.recipes import is_brewed, revision
from app.journal.revising import plain_steps, steps_of
from app.journal.rows import values_of
from app.models import Recipe
from app.models.recipes import RevisionValues
from app.web.amount_fields import amounts_data
from app.web.fields import number_or_none
from app.web.formats import formats
from app.worksheets import queries


@dataclass(frozen=True)
class Start:
    """`values` are a recipe's columns and what else was noted; empty for numbers alone.

    `address` is what the address says of it. `recipe` can be revised: saving then changes
    revision `number` in place or, where that is `frozen`, makes its successor.
    """

    name: str = ""
    address: Mapping[str, int] = field(default_factory=dict)
    values: Mapping[str, Any] = field(default_factory=dict)
    steps: Sequence[PlannedStep] = ()
    recipe: Recipe | None = None
    number: int = 0
    frozen: bool = False

    def plan(self, dose_g: float, water_g: float, bypass_g: float, ice_g: float) -> Plan:
        """The steps it has, fitted to these amounts."""
        return refit(self._own_plan(), dose_g, water_g, bypass_g, ice_g)

    def _own_plan(self) -> Plan:
        names = ("dose_g", "water_g", "bypass_g", "ice_g")
        dose_g, water_g, bypass_g, ice_g = (self.values.get(name) or 0.0 for name in names)
        return Plan(dose_g, water_g, bypass_g, ice_g, tuple(self.steps))


NOWHERE = Start()
NOTED = ("grinder_id", "bag_id", "beverage_g", "tds_pct")  # what a brew says beyond a recipe


def start_from(session: Session, args: Mapping[str, str]) -> Start:
    """The recipe or brew that the address names; a page about one that is gone is not found."""
    revision_id, brew_id = (number_or_none(args.get(name)) for name in ("recipe", "brew"))
    if revision_id:
        return _from_recipe(session, revision_id)
    return _from_brew(session, brew_id) if brew_id else NOWHERE


def _from_recipe(session: Session, revision_id: int) -> Start:
    found = revision(session, revision_id) or abort(404)
    latest_id, number = queries.latest_number(session, found.recipe_id)
    return Start(
        f"{found.recipe.name}, revision {found.number}",
        {"recipe": revision_id},
        amounts_data(values_of(found, RevisionValues)),
        steps_of(found),
        found.recipe if found.recipe.binned_at is None else None,
        number,
        is_brewed(session, latest_id),
    )


def _from_brew(session: Session, brew_id: int) -> Start:
    brew, bean = queries.brew_to_start_from(session, brew_id) or abort(404)
    noted = {name: getattr(brew, name) for name in NOTED}
    values = values_of(brew, RevisionValues)
    return Start(
        f"{bean}, {formats().day(brew.brewed_on)}",
        {"brew": brew_id},
        amounts_data(values) | noted,
        plain_steps(values),
    )
