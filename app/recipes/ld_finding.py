"""Finding a recipe in text that came from anywhere: bounded in size, depth and number. Pure."""

import json
import re
from collections.abc import Iterator

MOST_CHARS = 200_000
MOST_NODES = 2000
DEEPEST = 12
SCRIPT = re.compile(
    r"<script[^>]{0,300}ld\+json[^>]{0,300}>(.*?)</script", re.DOTALL | re.IGNORECASE
)
NO_RECIPE = "No recipe was found in it: it should hold JSON-LD of schema.org’s type Recipe."
NO_JSON = "This is not JSON as programs write it, from “{” to “}”."
TOO_LONG = f"Keep this within {MOST_CHARS} characters."
TOO_DEEP = "It is nested too deeply to be a recipe."


class NoRecipeError(ValueError):
    """Why nothing could be read, as a sentence."""


def find_recipe(text: str) -> dict[str, object]:
    """The first Recipe of JSON-LD, or of the scripts of a page that holds some.

    Raises NoRecipeError.
    """
    if len(text) > MOST_CHARS:
        raise NoRecipeError(TOO_LONG)
    parts = SCRIPT.findall(text) if text.lstrip().startswith("<") else [text]
    wrong = NO_RECIPE
    for part in parts:
        try:
            found = json.loads(part.strip(), parse_constant=_no_number)
        except RecursionError:
            wrong = TOO_DEEP
            continue
        except ValueError:
            wrong = NO_JSON
            continue
        recipe = next((node for node in _nodes(found) if _is_recipe(node)), None)
        if recipe is not None:
            return recipe
        wrong = NO_RECIPE
    raise NoRecipeError(wrong)


def _no_number(word: str) -> object:
    raise ValueError(word)


def _nodes(found: object) -> Iterator[dict[str, object]]:
    """What a recipe may stand in, the outer ones first: lists, @graph, and what a page is about."""
    level, seen = [found], 0
    for _ in range(DEEPEST):
        inner: list[object] = []
        for node in level:
            seen += 1
            if seen > MOST_NODES:
                return
            if isinstance(node, dict):
                yield node
                inner += [node[name] for name in ("@graph", "mainEntity", "item") if name in node]
                inner += [node["itemListElement"]] if "itemListElement" in node else []
            elif isinstance(node, list):
                inner += node[:MOST_NODES]
        level = inner


def _is_recipe(node: dict[str, object]) -> bool:
    kinds = node.get("@type")
    named = kinds if isinstance(kinds, list) else [kinds]
    return any(
        isinstance(kind, str) and kind.rpartition("/")[2].rpartition(":")[2] == "Recipe"
        for kind in named
    )
