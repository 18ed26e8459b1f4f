"""What a worksheet works with: where its numbers come from, the gear, what was learned."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace

from flask import abort
from sqlalchemy.orm import Session

from app.brewing.plans.refit import refit
from app.brewing.plans.scaling import Plan, PlannedStep
from app.journal import gear
from app.journal.estimates import learned
from app.journal.gear import BrewerRow
from app.journal.lessons import Learned
from app.journal.recipes import is_brewed, revision
from app.journal.revising import plain_steps, steps_of
from app.journal.rows import values_of
from app.models import Grinder, Recipe, Settings
from app.models.recipes import RevisionValues
from app.web.amount_fields import amounts_data
from app.web.fields import number_or_none
from app.web.formats import formats
from app.web.household import household
from app.worksheets import queries

Value = float | str | None
FormData = dict[str, Value]


@dataclass(frozen=True)
class Noted:
    """What a brew says beyond a recipe."""

    grinder_id: int | None
    water_id: int | None
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
        own, made = Plan(0.0, 0.0), self.made
        if made is not None:
            own = Plan(made.dose_g, made.water_g, made.bypass_g, made.ice_g, tuple(self.steps))
        return refit(own, dose_g, water_g, bypass_g, ice_g)


@dataclass(frozen=True)
class SheetContext:
    """`args` is the URL's query, `usual` the brewer and grinder of the newest brew."""

    session: Session
    args: Mapping[str, str]
    start: Start
    house: Settings
    learned: Learned
    brewers: Mapping[int, BrewerRow]
    grinders: list[tuple[int, str]]
    usual: tuple[int | None, int | None]


def open_context(session: Session, args: Mapping[str, str]) -> SheetContext:
    """For the recipe or brew that the URL names; one that is gone is not found.

    A URL without anything in it starts from the newest brew.
    """
    revision_id, brew_id = (number_or_none(args.get(name)) for name in ("recipe", "brew"))
    start = Start()
    if revision_id:
        start = _from_recipe(session, revision_id)
    elif brew_id:
        start = _from_brew(session, brew_id)
    elif not args and (newest_id := queries.newest_brew(session)) is not None:
        start = _from_brew(session, newest_id)
        start = replace(start, name=f"the last brew, {start.name}")
    brewers = gear.brewers(session, start.made.brewer_id if start.made else None)
    return SheetContext(
        session,
        args,
        start,
        household(),
        learned(session),
        {row.id: row for row in brewers},
        gear.pick_list(session, Grinder, start.noted.grinder_id if start.noted else None),
        gear.usual_gear(session),
    )


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
