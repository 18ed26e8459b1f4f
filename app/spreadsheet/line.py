"""The cells of one line by what they are, and what is wrong with them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from app.spreadsheet.grids import Line

NOTHING = {"", "-", "–", "—", "n/a", "na", "nan", "#n/a"}
MISSING = {
    "brewed_on": "The day is missing.",
    "bean": "The bean is missing.",
    "brewer": "The brewer is missing.",
    "dose_g": "The dose is missing.",
    "water_g": "The brew water is missing.",
    "taster": "Whose score this is is missing.",
}

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong with a line; `place` is the column, None where there is none for it."""

    place: int | None
    text: str
    why: str


class Cells:
    """A line whose columns are known by their fields (`places`); `problems` grow as it is read."""

    def __init__(self, line: Line, places: Mapping[str, int]) -> None:
        self.line, self.places = line, places
        self.problems: list[Problem] = []

    def text(self, name: str) -> str:
        place = self.places.get(name)
        text = "" if place is None else self.line[place]
        return "" if text.lower() in NOTHING else text

    def read(self, name: str, how: Callable[[str], T]) -> T | None:
        """None for an empty cell, and for one that `how` refuses with a ValueError."""
        text = self.text(name)
        if not text:
            return None
        try:
            return how(text)
        except ValueError as error:
            self.wrong(name, str(error))
            return None

    def wrong(self, name: str, why: str) -> None:
        """One reason for a cell: the next is told when that one is mended."""
        place = self.places.get(name)
        if place is None or all(problem.place != place for problem in self.problems):
            self.problems.append(Problem(place, self.text(name), why))

    def missing(self, name: str) -> None:
        if not any(problem.place == self.places.get(name, -1) for problem in self.problems):
            self.wrong(name, MISSING[name])
