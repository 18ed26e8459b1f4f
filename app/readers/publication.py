"""What goes out to readers, composed once and written in several ways (`written.py`, templates)."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.charts.figure import Chart


@dataclass(frozen=True, slots=True)
class Table:
    """A head and rows of as many cells; the first cell of a row names it."""

    head: Sequence[str]
    rows: Sequence[Sequence[str]]


@dataclass(frozen=True, slots=True)
class Part:
    """A heading with sentences, a list, facts (a term and what it is), and a table, in this order;
    each may be empty."""

    title: str
    sentences: Sequence[str] = ()
    items: Sequence[str] = ()
    facts: Sequence[tuple[str, str]] = ()
    table: Table | None = None

    @property
    def filled(self) -> bool:
        return bool(self.sentences or self.items or self.facts or self.table)


@dataclass(frozen=True, slots=True)
class Publication:
    """One answer, side by side or bag as strangers may read it.

    `said` is what the household writes itself: the title of an answer is its question. `lead` says
    in plain words what was found, under its name; of an answer it is the evidence. `made_on` is the
    day it was written down, as text. `advice` is for the household alone.
    """

    title: str
    said: str
    lead_name: str
    lead: str
    pictures: Sequence[Chart]
    parts: Sequence[Part]
    made_on: str
    advice: Sequence[str] = ()

    @property
    def paragraphs(self) -> list[str]:
        """What the household says, parted where it left a line empty."""
        lines = [line.strip() for line in self.said.splitlines()]
        return [part.strip() for part in "\n".join(lines).split("\n\n") if part.strip()]

    @property
    def footer(self) -> str:
        return f"Made with Oddcup, {self.made_on}."
