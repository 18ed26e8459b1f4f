"""Writing recipes. A revision that any brew points at, even one in the bin, never changes again:
`revise` then adds its successor."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from app.brewing.plans.scaling import PlannedStep
from app.journal.recipes import is_brewed, is_latest
from app.journal.rows import set_columns, values_of
from app.models import Recipe, RecipeRevision, Step
from app.models.recipes import Amounts, RevisionValues


@dataclass(frozen=True)
class Draft:
    """A recipe to save: its name and note, what its revision says, and why it was made."""

    name: str
    note: str
    why: str
    values: RevisionValues
    steps: Sequence[PlannedStep]


def add_recipe(session: Session, draft: Draft, now: datetime) -> Recipe:
    recipe = Recipe(name=draft.name, note=draft.note, revisions=[_made(draft, 1, now)])
    session.add(recipe)
    session.flush()
    return recipe


def revise(session: Session, recipe_id: int, draft: Draft, now: datetime) -> int | None:
    """Save the draft as the latest revision and return its number; None without such a recipe.

    The latest revision is changed in place, or gets a successor if it has been brewed and the draft
    differs from it.
    """
    recipe = session.get(Recipe, recipe_id, with_for_update=True)
    if recipe is None:
        return None
    recipe.name, recipe.note = draft.name, draft.note
    latest = _locked_latest(session, recipe_id)
    if not is_brewed(session, latest.id):
        set_columns(latest, draft.values)
        latest.why = draft.why
        if steps_of(latest) != list(draft.steps):
            latest.steps.clear()
            session.flush()
            latest.steps.extend(_steps(draft))
    elif values_of(latest, RevisionValues) != draft.values or steps_of(latest) != list(draft.steps):
        latest = _made(draft, latest.number + 1, now)
        latest.recipe_id = recipe_id
        session.add(latest)
    return latest.number


def _locked_latest(session: Session, recipe_id: int) -> RecipeRevision:
    """Locked, so that no brew can begin to point at it before the change is saved."""
    query = (
        select(RecipeRevision)
        .where(RecipeRevision.recipe_id == recipe_id, is_latest())
        .options(selectinload(RecipeRevision.steps))
        .with_for_update(of=RecipeRevision)
    )
    return session.scalars(query).one()


def _made(draft: Draft, number: int, now: datetime) -> RecipeRevision:
    revision = RecipeRevision(number=number, made_at=now, why=draft.why, steps=_steps(draft))
    set_columns(revision, draft.values)
    return revision


def _steps(draft: Draft) -> list[Step]:
    return [Step(position=n, **asdict(step)) for n, step in enumerate(draft.steps, start=1)]


def steps_of(revision: RecipeRevision) -> list[PlannedStep]:
    return [values_of(step, PlannedStep) for step in revision.steps]


def plain_steps(made: Amounts) -> list[PlannedStep]:
    """The steps that a brew's values amount to; how it was poured is not known."""
    steps = [PlannedStep("pour", made.water_g, starts_s=0)]
    if made.stirs:
        steps.append(PlannedStep("stir", note="once" if made.stirs == 1 else f"{made.stirs} times"))
    if made.steep_s:
        steps.append(PlannedStep("steep", starts_s=0, lasts_s=made.steep_s))
    if made.press_s:
        steps.append(PlannedStep("press", starts_s=made.steep_s, lasts_s=made.press_s))
    if made.bypass_g:
        steps.append(PlannedStep("dilute", made.bypass_g))
    if made.ice_g:
        steps.append(PlannedStep("ice", made.ice_g))
    return steps
