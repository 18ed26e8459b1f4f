"""Where a worksheet's numbers come from: a recipe's revision, a brew, or neither."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field

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

Value = float | str | None
FormData = dict[str, Value]


@dataclass(frozen=True)
class Noted:
    """What a brew says beyond a recipe."""

    grinder_id: int | None
    bag_id: int
    beverage_g: float | None
    tds_pct: float | None


@dataclass(frozen=True)
class Start:
    """`made` is how the recipe or the brew was made, `noted` what else a brew says.

    `query` names it in the URL. `recipe` can be revised: saving then changes revision `number` in
    place or, where that is `frozen`, adds its successor.
    """

    name: str = ""
    query: Mapping[str, int] = field(default_factory=dict)
    made: RevisionValues | None = None
    steps: Sequence[PlannedStep] = ()
    noted: Noted | None = None
    recipe: Recipe | None = None
    number: int = 0
    frozen: bool = False

    @property
    def form_data(self) -> FormData:
        """By the names of form fields; empty where a worksheet starts from numbers alone."""
        if self.made is None:
            return {}
        return amounts_data(self.made) | (asdict(self.noted) if self.noted else {})

    def plan(self, dose_g: float, water_g: float, bypass_g: float, ice_g: float) -> Plan:
        """The steps it has, fitted to these amounts."""
        return refit(self._own_plan(), dose_g, water_g, bypass_g, ice_g)

    def _own_plan(self) -> Plan:
        made = self.made
        if made is None:
            return Plan(0.0, 0.0)
        return Plan(made.dose_g, made.water_g, made.bypass_g, made.ice_g, tuple(self.steps))


def start_from(session: Session, args: Mapping[str, str]) -> Start:
    """The recipe or brew that the URL names; a worksheet about one that is gone is not found."""
    revision_id, brew_id = (number_or_none(args.get(name)) for name in ("recipe", "brew"))
    if revision_id:
        return _from_recipe(session, revision_id)
    return _from_brew(session, brew_id) if brew_id else Start()


def _from_recipe(session: Session, revision_id: int) -> Start:
    row = revision(session, revision_id) or abort(404)
    latest_id, number = queries.latest_number(session, row.recipe_id)
    return Start(
        f"{row.recipe.name}, revision {row.number}",
        {"recipe": revision_id},
        values_of(row, RevisionValues),
        steps_of(row),
        recipe=row.recipe if row.recipe.binned_at is None else None,
        number=number,
        frozen=is_brewed(session, latest_id),
    )


def _from_brew(session: Session, brew_id: int) -> Start:
    brew, bean = queries.brew_to_start_from(session, brew_id) or abort(404)
    made = values_of(brew, RevisionValues)
    return Start(
        f"{bean}, {formats().day(brew.brewed_on)}",
        {"brew": brew_id},
        made,
        plain_steps(made),
        values_of(brew, Noted),
    )
