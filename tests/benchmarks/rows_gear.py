"""The rows that do not grow with the journal: gear, recipes, tasters, and words to write with."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

BREWERS = ("pressed immersion", "immersion", "cone", "flat bed")
RECIPES, REVISIONS = 60, 3
MADE_AT = datetime(1990, 1, 1, tzinfo=UTC)
WORDS = ("sweet", "nutty", "thin", "sharp", "round", "heavy", "clean", "muddy", "toast", "plum")
NOTES = (
    "A little thin at the end of the bag.",
    "Better than yesterday; the same settings, another hour of the day.",
    "Forgot to stir, then stirred twice.",
    "Pressed slowly. Very clean, hardly any dust in the cup.",
    "Guests liked it. Would make it again with a gram less.",
    "Too hot to taste for the first ten minutes.",
)


def gear() -> dict[str, list[dict[str, Any]]]:
    revisions = [(recipe, number) for recipe in range(RECIPES) for number in range(REVISIONS)]
    return {
        "brewer": [
            {"id": n, "name": kind.capitalize(), "kind": kind, "capacity_g": 600.0}
            for n, kind in enumerate(BREWERS, start=1)
        ],
        "grinder": [
            {"id": 1, "name": "Hand grinder", "scale": "clicks", "um_per_step": 22.0},
            {"id": 2, "name": "Electric grinder", "scale": "marks", "um_per_step": None},
        ],
        "water": [
            {"id": 1, "name": "Tap", "hardness_mg_l": 230.0, "alkalinity_mg_l": 190.0},
            {"id": 2, "name": "Jug", "hardness_mg_l": 80.0, "alkalinity_mg_l": 50.0},
        ],
        "taster": [{"id": 1, "name": "First taster"}, {"id": 2, "name": "Second taster"}],
        "recipe": [{"id": n + 1, "name": f"Recipe {n + 1}"} for n in range(RECIPES)],
        "recipe_revision": [_revision(recipe, number) for recipe, number in revisions],
        "step": [
            step for recipe, number in revisions for step in _steps(recipe * REVISIONS + number + 1)
        ],
    }


def _revision(recipe: int, number: int) -> dict[str, Any]:
    return {
        "id": recipe * REVISIONS + number + 1,
        "recipe_id": recipe + 1,
        "number": number + 1,
        "made_at": MADE_AT,
        "why": "A little longer." if number else "",
        "brewer_id": 1 + recipe % len(BREWERS),
        "dose_g": 11.0 + number,
        "water_g": 200.0,
        "grind": "medium",
        "water_temp_c": 93.0,
        "steep_s": 90,
        "stirs": 3,
    }


def _steps(revision: int) -> list[dict[str, Any]]:
    told = (("pour", 0, 15, 200.0), ("stir", 15, 5, None), ("press", 90, 30, None))
    return [
        {
            "revision_id": revision,
            "position": place,
            "kind": kind,
            "starts_s": starts_s,
            "lasts_s": lasts_s,
            "grams": grams,
        }
        for place, (kind, starts_s, lasts_s, grams) in enumerate(told, start=1)
    ]
