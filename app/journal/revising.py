"""Writing recipes. `revise` is the one way to change what a recipe says: a revision that a brew
points at, be it in the bin, is frozen and gets a successor instead."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from app.journal.recipes import is_brewed, is_latest
from app.models import Brew, Recipe, RecipeRevision, Step

VALUES = (
    "brewer_id", "dose_g", "water_g", "bypass_g", "ice_g", "grind", "water_temp_c", "steep_s",
    "press_s", "stirs", "flipped",
)  # fmt: skip
STEP_VALUES = ("kind", "starts_s", "lasts_s", "grams", "note")


@dataclass(frozen=True)
class Draft:
    """A recipe as the form has it: its name and note, and what its revision is to say."""

    name: str
    note: str
    why: str
    values: Mapping[str, Any]
    steps: Sequence[Mapping[str, Any]]


def add_recipe(session: Session, draft: Draft, now: datetime) -> Recipe:
    recipe = Recipe(name=draft.name, note=draft.note, revisions=[_made(draft, 1, now)])
    session.add(recipe)
    session.flush()
    return recipe


def revise(session: Session, recipe_id: int, draft: Draft, now: datetime) -> int | None:
    """Save the draft as the latest revision and return its number; None without such a recipe.

    The latest revision is changed in place, or gets a successor if it is frozen and the draft
    differs from it.
    """
    recipe = session.get(Recipe, recipe_id, with_for_update=True)
    if recipe is None:
        return None
    recipe.name, recipe.note = draft.name, draft.note
    latest = _locked_latest(session, recipe_id)
    if not is_brewed(session, latest.id):
        _change(session, latest, draft)
        return latest.number
    if not _differs(latest, draft):
        return latest.number
    successor = _made(draft, latest.number + 1, now)
    successor.recipe_id = recipe_id
    session.add(successor)
    return successor.number


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
    return RecipeRevision(
        number=number, made_at=now, why=draft.why, steps=_steps(draft), **draft.values
    )


def _steps(draft: Draft) -> list[Step]:
    return [Step(position=n, **step) for n, step in enumerate(draft.steps, start=1)]


def _change(session: Session, revision: RecipeRevision, draft: Draft) -> None:
    for name, value in draft.values.items():
        setattr(revision, name, value)
    revision.why = draft.why
    revision.steps.clear()
    session.flush()
    revision.steps.extend(_steps(draft))


def _differs(revision: RecipeRevision, draft: Draft) -> bool:
    said = [[getattr(step, name) for name in STEP_VALUES] for step in revision.steps]
    wanted = [[step[name] for name in STEP_VALUES] for step in draft.steps]
    values = any(getattr(revision, name) != value for name, value in draft.values.items())
    return values or said != wanted


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
