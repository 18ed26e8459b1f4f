"""A recipe as schema.org Recipe in JSON-LD: for programs, for other journals, and for a code. Pure.

Every value stands as a PropertyValue named as it is stored (`dose_g`), every step in one form of
words, so that what is read back is exactly what was written. The terms are those of schema.org's
vocabulary as it is remembered (nothing was looked up): Recipe, HowToTool, HowToStep, PropertyValue,
recipeIngredient, recipeInstructions, totalTime; unit codes are UN/CEFACT's.
"""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields

from app.brewing.plans.scaling import PlannedStep
from app.formats import Formats
from app.models.recipes import Amounts

Json = dict[str, object]

CONTEXT = "https://schema.org"
UNIT_CODES = {"_g": "GRM", "_c": "CEL", "_s": "SEC"}
PLAIN = Formats(space=" ")


@dataclass(frozen=True, slots=True)
class RecipeText:
    """A revision of a recipe with the names it goes by; empty where there are none."""

    name: str
    note: str
    number: int
    brewer: str
    amounts: Amounts
    steps: Sequence[PlannedStep]


def whole(recipe: RecipeText) -> Json:
    """All of it, with what other programs show."""
    properties = [
        {"@type": "PropertyValue", "name": name, "value": value} | _unit(name)
        for name, value in _noted(recipe.amounts)
    ]
    found: Json = {
        "@context": CONTEXT,
        "@type": "Recipe",
        "name": recipe.name,
        "description": recipe.note,
        "version": recipe.number,
        "recipeIngredient": list(_ingredients(recipe.amounts)),
        "recipeInstructions": [
            {"@type": "HowToStep", "position": place, "text": step_text(step)}
            for place, step in enumerate(recipe.steps, start=1)
        ],
        "additionalProperty": properties,
    }
    if recipe.brewer:
        found["tool"] = [{"@type": "HowToTool", "name": recipe.brewer}]
    if seconds := _lasts(recipe):
        found["totalTime"] = iso_duration(seconds)
    return {name: value for name, value in found.items() if value not in ("", [])}


def short(recipe: RecipeText) -> str:
    """The same without what can be put together again, for a code that a camera reads."""
    found: Json = {
        "@context": CONTEXT,
        "@type": "Recipe",
        "name": recipe.name,
        "additionalProperty": [
            {"name": name, "value": value} for name, value in _noted(recipe.amounts)
        ],
        "recipeInstructions": [step_text(step) for step in recipe.steps],
    }
    return json.dumps(found, ensure_ascii=False, separators=(",", ":"))


def step_text(step: PlannedStep) -> str:
    """Such as: pour 165.0 g at 45 s for 20 s: in circles."""
    parts: list[str] = [step.kind]
    if step.grams is not None:
        parts.append(f"{step.grams!r} g")
    if step.starts_s is not None:
        parts.append(f"at {step.starts_s} s")
    if step.lasts_s is not None:
        parts.append(f"for {step.lasts_s} s")
    return " ".join(parts) + (f": {step.note}" if step.note else "")


def iso_duration(seconds: int) -> str:
    """ISO 8601.

    >>> iso_duration(135), iso_duration(45), iso_duration(3600)
    ('PT2M15S', 'PT45S', 'PT1H')
    """
    minutes, rest = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    parts = ((hours, "H"), (minutes, "M"), (rest, "S"))
    return "PT" + ("".join(f"{n}{letter}" for n, letter in parts if n) or "0S")


def _noted(amounts: Amounts) -> Iterator[tuple[str, object]]:
    """Values that were noted; what is left out stands as a new recipe has it."""
    for field in fields(Amounts):
        value = getattr(amounts, field.name)
        if value != field.default:
            yield field.name, value


def _unit(name: str) -> Json:
    return next(({"unitCode": code} for end, code in UNIT_CODES.items() if name.endswith(end)), {})


def _ingredients(amounts: Amounts) -> Iterator[str]:
    grind = f", ground {amounts.grind}" if amounts.grind else ""
    yield f"{PLAIN.grams(amounts.dose_g)} coffee{grind}"
    heat = amounts.water_temp_c
    at = f" at {PLAIN.amount(heat, '°C')}" if heat is not None else ""
    yield f"{PLAIN.grams(amounts.water_g)} brew water{at}"
    if amounts.bypass_g:
        yield f"{PLAIN.grams(amounts.bypass_g)} bypass water, added after brewing"
    if amounts.ice_g:
        yield f"{PLAIN.grams(amounts.ice_g)} ice"


def _lasts(recipe: RecipeText) -> int:
    """Until the last step has ended, or as long as it steeps and is pressed."""
    ends = [(step.starts_s or 0) + (step.lasts_s or 0) for step in recipe.steps]
    return max([*ends, (recipe.amounts.steep_s or 0) + (recipe.amounts.press_s or 0)])
