"""How often suggestions are right: pairs of asks put together, against groups made by hand."""

from __future__ import annotations

import json
from itertools import combinations
from pathlib import Path
from typing import NamedTuple

from app.journal.asks.similar import suggest

HERE = Path(__file__).parent
# Those the table was made with, and those that were kept back until it was.
LISTS = ("first", "household", "held_back", "neighbours")


class Measured(NamedTuple):
    """`wrong` and `missed` are pairs of asks."""

    asks: int
    groups: int
    suggested: int
    right: int
    belonging: int
    wrong: list[tuple[str, str]]
    missed: list[tuple[str, str]]

    @property
    def precision(self) -> float:
        return self.right / self.suggested

    @property
    def recall(self) -> float:
        return self.right / self.belonging


def groups_in(name: str) -> dict[str, list[str]]:
    found: dict[str, list[str]] = json.loads((HERE / f"{name}.json").read_text("utf-8"))["groups"]
    return found


def measure(groups: dict[str, list[str]]) -> Measured:
    """Asks in an order that is not that of the groups, as readers write them."""
    group_of = {text: name for name, texts in groups.items() for text in texts}
    texts = sorted(group_of, key=lambda text: text[::-1])
    pairs = [
        tuple(sorted((texts[a], texts[b])))
        for places in suggest(texts)
        for a, b in combinations(places, 2)
    ]
    belonging = {
        tuple(sorted(pair)) for texts in groups.values() for pair in combinations(texts, 2)
    }
    wrong = [(a, b) for a, b in pairs if group_of[a] != group_of[b]]
    missed = [(a, b) for a, b in belonging - set(pairs)]
    right = len(pairs) - len(wrong)
    return Measured(
        len(texts), len(groups), len(pairs), right, len(belonging), wrong, sorted(missed)
    )
