"""Which line heads the columns, and what each column may be."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from app.spreadsheet.fields import HEADINGS, KNOWN, TO_NOTE, UNIT_WORDS
from app.spreadsheet.grids import Line

FIRST_LINES = 20
IN_BRACKETS = re.compile(r"[(\[]([^)\]]*)[)\]]|\bin\s+(\S+)$|,\s*(\S+)$")
SCALE = re.compile(r"(?:/|out of |of |[01]\s*(?:-|–|to)\s*)(100|10|5|9)\b")


@dataclass(frozen=True)
class Column:
    """A column: what heads it, what it is taken for, and the unit its heading names, if any."""

    heading: str
    field: str
    unit: str = ""


@dataclass(frozen=True)
class Headed:
    """The columns of a grid, and the first line (from 0) that holds a brew."""

    columns: list[Column]
    first: int


def headed(lines: Sequence[Line]) -> Headed:
    """The line of the first twenty with most known headings, and the lines that belong to it."""
    at = max(range(min(len(lines), FIRST_LINES)), key=lambda n: (_known_in(lines[n]), -n))
    texts, first = list(lines[at]), at + 1
    if at and _is_above(lines[at - 1], texts):
        texts = _joined(_carried(lines[at - 1], len(texts)), texts)
    elif first < len(lines) and _is_below(texts, lines[first]):
        texts, first = _joined(_carried(texts, len(lines[first])), lines[first]), first + 1
    if first < len(lines) and _is_units(lines[first]):
        texts = [f"{text} ({unit})" if unit else text for text, unit in _both(texts, lines[first])]
        first += 1
    width = max(len(line) for line in lines[at:])
    texts += [""] * (width - len(texts))
    return Headed(_guessed(texts), first)


def _known_in(line: Line) -> int:
    return len({field for cell in line if cell and (field := best(cell)[1])})


def _is_above(upper: Line, texts: Line) -> bool:
    """Whether the line above groups the headings: fewer cells, none of them a heading by itself."""
    filled = [cell for cell in upper if cell]
    return 2 <= len(filled) < len([cell for cell in texts if cell]) and "" in upper


def _is_below(texts: Line, lower: Line) -> bool:
    """Whether the line below parts the headings: known ones under those that span several."""
    gaps = [place for place, cell in enumerate(lower) if cell and not _at(texts, place)]
    return bool(gaps) and _known_in(lower) >= 2 and not any(re.search(r"\d", c) for c in lower)


def _is_units(line: Line) -> bool:
    filled = [cell.strip("()[] ").lower() for cell in line if cell]
    return bool(filled) and all(cell in UNIT_WORDS for cell in filled)


def _carried(line: Line, width: int) -> Line:
    """A merged heading stands in its first cell only: it heads those after it, too."""
    carried, last = [], ""
    for place in range(width):
        last = _at(line, place) or last
        carried.append(last)
    return carried


def _joined(upper: Line, lower: Line) -> Line:
    return [
        low if not up or up == low else f"{up} {low}".strip() for up, low in _both(upper, lower)
    ]


def _both(one: Line, other: Line) -> list[tuple[str, str]]:
    return [(_at(one, place), _at(other, place)) for place in range(max(len(one), len(other)))]


def _at(line: Line, place: int) -> str:
    return line[place] if place < len(line) else ""


def _guessed(texts: Sequence[str]) -> list[Column]:
    """Each field goes to the column whose heading says it best; the rest go to the note."""
    guesses = sorted((*best(text), place) for place, text in enumerate(texts) if text)
    taken: dict[str, int] = {}
    for _rank, field, place in guesses:
        if field and field not in taken:
            taken[field] = place
    fields = {place: field for field, place in taken.items()}
    return [
        Column(text, fields.get(place, TO_NOTE), unit_of(text, fields.get(place, "")))
        for place, text in enumerate(texts)
    ]


def best(heading: str) -> tuple[int, str]:
    """The field a heading names, with a rank: 0 for its very words, more for words within it."""
    text = _bare(heading)
    for field, words in HEADINGS.items():
        if text in words:
            return 0, field
    within = [
        (1 if text.endswith(f" {word}") else 2, -len(word), field)
        for field, words in HEADINGS.items()
        for word in words
        if len(word) > 2 and re.search(rf"\b{re.escape(word)}\b", text)
    ]
    return (min(within)[0], min(within)[2]) if within else (9, "")


def _bare(heading: str) -> str:
    text = IN_BRACKETS.sub("", heading.lower())
    return re.sub(r"[^\w% ]+|_", " ", text).strip().replace("  ", " ")


def unit_of(heading: str, field: str) -> str:
    """The unit that a heading names for a field; empty where it names none that fits."""
    if field not in KNOWN:
        return ""
    low = heading.lower()
    said = [
        part.strip(" .") for match in IN_BRACKETS.finditer(low) for part in match.groups() if part
    ]
    said += low.split()[-1:]
    for word in said:
        unit = UNIT_WORDS.get(word, "")
        if unit in KNOWN[field].units:
            return unit
    return ""


def scale_of(heading: str) -> str:
    """How far a score goes, as its heading says: "10" of "Score /10"; empty if it does not say."""
    match = SCALE.search(heading.lower())
    return match[1] if match else ""
