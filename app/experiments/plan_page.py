"""What the page of a plan shows, worked out from what was chosen on it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sqlalchemy.orm import Session
from werkzeug.datastructures import MultiDict
from wtforms import Field

from app.experiments import words
from app.experiments.forms import DESIGNS, SIZES, PlanForm, Rows, design_of
from app.journal.bags import OpenBag
from app.journal.brews import NamedBrew, brew_in_words, last_brew_id, named_brews
from app.journal.experiments.saving import Plan
from app.journal.experiments.settings import base_values
from app.journal.recipes import pickable_revisions
from app.journal.repeating import own_repeats
from app.journal.rows import rows_as
from app.journal.tastings import likely_taster, tasters
from app.models import Brew
from app.models.brews import BrewValues
from app.sensory.scores.design import Design
from app.web.formats import formats

MOST_LISTED = 8
NO_RECIPE = "that brew"


@dataclass(frozen=True)
class Ahead:
    """What is said before anything is saved."""

    design: Design
    size: str
    beans: str
    short: bool
    noise: str
    resolved: str


class PlanPage:
    """The form of a plan as it was sent or is proposed, and what it comes to.

    Raises LookupError where there is no brew or no taster to plan for.
    """

    def __init__(self, session: Session, bag: OpenBag, sent: MultiDict[str, str] | None) -> None:
        self.bag = bag
        brews, people = _brews(session, bag.id), dict(tasters(session))
        if not brews or not people:
            raise LookupError("brew" if not brews else "taster")
        at_first = {"like": next(iter(brews)), "taster": likely_taster(session, ())}
        self.form = PlanForm(sent, data=at_first)
        self.form.like.pick_from(brews.items())
        self.form.taster.pick_from(people.items())
        recipes = [(row.revision_id, row.name) for row in pickable_revisions(session)]
        self.form.recipe.pick_from(recipes, none=NO_RECIPE)
        self.form_is_sound = self.form.validate()
        like = self.form.like.data if self.form.like.data in brews else next(iter(brews))
        recipe = self.form.recipe.data if self.form.recipe.data in dict(recipes) else None
        self.base = base_values(session, like, recipe)
        self.rows = Rows(self.base, sent)
        self.form.size.pick_from(_sizes(len(self.rows.varied)).items())
        spreads = own_repeats(session).get(self.form.taster.data or 0)
        spread = spreads.days_apart if spreads else None
        self._sd, self._noise = words.noise(spread, people.get(self.form.taster.data or 0, ""))

    def __iter__(self) -> Iterator[Field]:
        yield from self.rows
        yield from self.form

    @property
    def form_errors(self) -> list[str]:
        return [self.rows.wrong] if self.rows.wrong else []

    @property
    def errors(self) -> bool:
        return not self.can_be_saved

    @property
    def can_be_saved(self) -> bool:
        return self.rows.sound and self.form_is_sound

    @property
    def ahead(self) -> Ahead | None:
        """How many mornings and beans it takes, and what it can resolve; None with errors."""
        if not self.can_be_saved:
            return None
        factors = self.rows.factors()
        design = design_of(len(factors), self.form.size.data)
        needed = design.runs * _dose(self.base, {one.name: one.plain(0) for one in factors})
        left = self.bag.left_g
        return Ahead(
            design,
            words.size(design),
            words.beans(needed, left, design, formats()),
            left is not None and left < needed,
            self._noise,
            words.resolved(design, self._sd),
        )

    def plan(self) -> Plan:
        """What a sound form asks to save."""
        return Plan(
            self.bag.id, self.form.taster.data, self.form.like.data, self.form.recipe.data,
            self.rows.factors(),
        )  # fmt: skip


def _brews(session: Session, bag_id: int) -> dict[int, str]:
    """Brews to be like: the latest of the bag, else the last of all."""
    query = named_brews().where(Brew.bag_id == bag_id, Brew.binned_at.is_(None))
    query = query.order_by(Brew.brewed_at.desc(), Brew.id.desc()).limit(MOST_LISTED)
    rows = rows_as(NamedBrew, session, query)
    if not rows:
        last = last_brew_id(session)
        rows = rows_as(NamedBrew, session, named_brews().where(Brew.id == last)) if last else []
    return {row.id: brew_in_words(row, formats()) for row in rows}


def _sizes(varied: int) -> dict[int, str]:
    if varied not in DESIGNS:
        return dict(enumerate(SIZES))
    return {n: f"{name}, {design_of(varied, n).runs} mornings" for n, name in enumerate(SIZES)}


def _dose(base: BrewValues, middle: Mapping[str, float]) -> float:
    return middle.get("dose_g", base.dose_g)
