"""A recipe read from schema.org JSON-LD: exactly where this journal wrote it, else as far as words
can be read; what cannot is told. Pure."""

import math
import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, fields
from typing import TypeVar, get_type_hints

from app.brewing import bounds
from app.brewing.plans.scaling import PlannedStep
from app.models.base import NAME_CHARS, NOTE_CHARS, WORDS_CHARS
from app.models.recipes import STEP_KINDS, Amounts
from app.recipes.ld_finding import find_recipe

Number = TypeVar("Number", int, float)

MOST_TEXTS, MOST_TEXT, MOST_NAMES = 200, 2000, 12
READ = {
    "@context", "@type", "@id", "name", "description", "version", "recipeIngredient", "ingredients",
    "recipeInstructions", "additionalProperty", "tool", "totalTime",
}  # fmt: skip
WHOLE = {name for name, of in get_type_hints(Amounts).items() if of == int | None}
BOUNDS: dict[str, tuple[float, float]] = {
    field.name: found
    for field in fields(Amounts)
    if (found := getattr(bounds, field.name.upper(), None))
}
OWN_STEP = re.compile(
    rf"({'|'.join(STEP_KINDS)})(?: ([\d.e+-]{{1,25}}) g)?"
    r"(?: at (\d{1,6}) s)?(?: for (\d{1,6}) s)?(?:: (.+))?"
)
AMOUNT = re.compile(r"(\d{1,6}(?:[.,]\d{1,4})?)\s*(kg|g|gr|gram|grams|ml|l|oz)\b", re.IGNORECASE)
HEAT = re.compile(r"(\d{1,3}(?:[.,]\d)?)\s*(?:°|º|degrees?)?\s*([CF])\b")
LASTS = re.compile(r"(\d{1,4})\s*(seconds?|secs?|s|minutes?|mins?|min)\b", re.IGNORECASE)
GRAMS = {"kg": 1000.0, "l": 1000.0, "oz": 28.349523125}  # avoirdupois; ml of water is its grams
TAG = re.compile(r"<[^<>]{0,300}>")
KIND_WORDS = {
    "bloom": "bloom", "wet": "bloom", "pour": "pour", "add": "pour", "stir": "stir",
    "swirl": "stir", "steep": "steep", "wait": "steep", "brew": "steep", "press": "press",
    "plunge": "press", "dilute": "dilute", "ice": "ice",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class ReadRecipe:
    """What was read, as a form takes it (what is missing is None), and what was not, in words.

    `kind` of a step is empty where its words do not say it.
    """

    name: str
    note: str
    brewer: str
    amounts: dict[str, object]
    steps: list[PlannedStep]
    told: list[str]


def read_recipe(text: str) -> ReadRecipe:
    """Raises NoRecipeError, with the sentence to show."""
    found = find_recipe(text)
    told: list[str] = []
    amounts = _properties(found.get("additionalProperty"), told)
    ingredients = list(_texts(found.get("recipeIngredient", found.get("ingredients"))))
    if not amounts:
        amounts = _amounts(ingredients, told)
    said = list(_texts(found.get("recipeInstructions")))
    steps = [_step(text) for text in said]
    own = all(OWN_STEP.fullmatch(text) for text in said)
    if steps and not own:
        told.append(
            "Its steps are in words: each is kept as it was written, and what is done in it, when "
            "and how much is guessed. Please look at each."
        )
    cut = sum(len(text) > WORDS_CHARS for text in said)
    if cut and not own:
        told.append(f"{cut} of its steps are longer than {WORDS_CHARS} characters and were cut.")
    ours = isinstance(found.get("additionalProperty"), list)
    name, note = (_line(found.get(of), as_it_is=ours) for of in ("name", "description"))
    for text, most, what in ((name, NAME_CHARS, "name"), (note, NOTE_CHARS, "description")):
        if len(text) > most:
            told.append(f"Its {what} is longer than {most} characters and was cut.")
    if left := [key for key in found if key not in READ][:MOST_NAMES]:
        told.append(f"Not read: {', '.join(key[:40] for key in left)}.")
    tools = list(_texts(found.get("tool")))
    return ReadRecipe(
        name[:NAME_CHARS], note[:NOTE_CHARS], tools[0][:NAME_CHARS] if tools else "", amounts,
        steps, told,
    )  # fmt: skip


def _properties(found: object, told: list[str]) -> dict[str, object]:
    """Values by the names they are stored under; those out of bounds are told."""
    amounts: dict[str, object] = {}
    for node in found if isinstance(found, list) else []:
        name, value = (node.get("name"), node.get("value")) if isinstance(node, dict) else ("", "")
        if name == "grind" and isinstance(value, str) and value in bounds.GRINDS:
            amounts["grind"] = value
        elif name == "flipped" and isinstance(value, bool):
            amounts["flipped"] = value
        elif isinstance(name, str) and name in BOUNDS:
            low, high = BOUNDS[name]
            number = value if isinstance(value, int | float) else math.nan
            fits = low <= number <= high and (name not in WHOLE or number == int(number))
            if isinstance(value, bool) or not fits:
                told.append(f"{name} is not between {low:g} and {high:g}, and was left out.")
            else:
                amounts[name] = value
    return amounts


def _amounts(ingredients: list[str], told: list[str]) -> dict[str, object]:
    """As far as the words of ingredients say them."""
    amounts: dict[str, object] = {}
    unread = []
    for text in ingredients:
        low, match = text.lower(), AMOUNT.search(text)
        name = next((name for word, name in (
            ("coffee", "dose_g"), ("bean", "dose_g"), ("ice", "ice_g"), ("bypass", "bypass_g"),
            ("water", "water_g"),
        ) if word in low), None)  # fmt: skip
        if name is None or match is None or name in amounts:
            unread.append(text[:60])
            continue
        value = _within(_grams(match), BOUNDS[name])
        if value is None:
            unread.append(text[:60])
            continue
        amounts[name] = round(value, 3)
        if (heat := HEAT.search(text)) and (celsius := _celsius(heat)) is not None:
            amounts["water_temp_c"] = celsius
    missing = [word for name, word in (("dose_g", "dose"), ("water_g", "brew water"))
               if name not in amounts]  # fmt: skip
    if missing:
        told.append(f"It does not say the {' and the '.join(missing)} in a way that can be read.")
    if unread:
        told.append(f"Not read of what goes in: {'; '.join(unread[:MOST_NAMES])}.")
    return amounts


def _celsius(heat: re.Match[str]) -> float | None:
    degrees = float(heat[1].replace(",", "."))
    celsius = degrees if heat[2] == "C" else (degrees - 32) / 1.8
    return _within(round(celsius, 1), bounds.WATER_TEMP_C)


def _step(text: str) -> PlannedStep:
    """As it was written here; else what its words say, which are kept as its note."""
    if own := OWN_STEP.fullmatch(text):
        kind, grams, starts, lasts, note = own.groups()
        with suppress(ValueError):
            return PlannedStep(
                kind, _within(grams and float(grams), bounds.BYPASS_G), _time(starts), _time(lasts),
                note or "",
            )  # fmt: skip
    words = re.findall(r"[a-z]+", text.lower())
    kind = next((KIND_WORDS[word] for word in words if word in KIND_WORDS), "")
    grams, seconds = _grams(AMOUNT.search(text)), None
    if lasts := LASTS.search(text):
        seconds = int(lasts[1]) * (60 if lasts[2].lower().startswith("m") else 1)
    note = text[:WORDS_CHARS]
    return PlannedStep(
        kind, _within(grams, bounds.BYPASS_G), None, _within(seconds, bounds.STEEP_S), note
    )


def _grams(amount: re.Match[str] | None) -> float | None:
    if amount is None:
        return None
    return float(amount[1].replace(",", ".")) * GRAMS.get(amount[2].lower(), 1.0)


def _within(value: Number | None, bounds: tuple[float, float]) -> Number | None:
    return value if value is not None and bounds[0] <= value <= bounds[1] else None


def _time(text: str | None) -> int | None:
    return _within(int(text) if text else None, bounds.STEEP_S)


def _texts(found: object, depth: int = 0) -> Iterator[str]:
    """Texts of a list of texts, of things with a text or a name, and of sections of these."""
    if isinstance(found, str):
        lines = found.splitlines() if depth == 0 else [found]
        yield from (text for line in lines if (text := _line(line)))
        return
    if depth > 4:
        return
    if isinstance(found, list):
        for count, one in enumerate(found):
            if count >= MOST_TEXTS:
                return
            yield from _texts(one, depth + 1)
    elif isinstance(found, dict):
        inner = found.get("itemListElement")
        yield from _texts(
            inner if inner is not None else found.get("text", found.get("name")), depth + 1
        )


def _line(found: object, *, as_it_is: bool = False) -> str:
    """A text without the tags and line ends that some pages leave in it."""
    text = found[0] if isinstance(found, list) and found else found
    if not isinstance(text, str):
        return ""
    text = text[: NOTE_CHARS + MOST_TEXT]
    return text if as_it_is or OWN_STEP.fullmatch(text) else " ".join(TAG.sub(" ", text).split())
