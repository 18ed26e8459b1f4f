"""What tells brews apart in a list, and what sets the two cups of a pair apart, in a few words."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Protocol

from sqlalchemy.orm import Session

from app.formats import Formats, ordinal, so_many
from app.journal.brews import NamedBrew, brew_in_words
from app.journal.pairs.fairness import Verdict, compare, listed
from app.journal.pairs.pair import Side, read_sides
from app.journal.pairs.rows import setting_text
from app.journal.pairs.setup import LABELS

# Brews of one bean this close in time are easily taken for each other.
NEAR = timedelta(minutes=10)
MOST_TOLD = 2
MOST_NAMED = 3
# Settings whose text says by itself what it is a setting of.
NAMED_BY_TEXT = {
    "bag_id", "first_brewer_id", "grinder_id", "grind", "water_id", "stack", "flipped", "steps",
}  # fmt: skip


class Listed(Protocol):
    """A row of a list of brews."""

    @property
    def id(self) -> int: ...
    @property
    def brewed_at(self) -> datetime: ...
    @property
    def bean_name(self) -> str: ...


@dataclass(frozen=True, slots=True)
class Apart:
    """How two cups differ: by one thing (`words` are "dose: 14 g and 16 g"), by several, or not."""

    verdict: Verdict
    words: str


def told_apart(session: Session, rows: Sequence[Listed], formats: Formats) -> dict[int, str]:
    """By id, what those brews have for themselves that could be taken for others of the list.

    Six statements however many they are, none where bean and time tell all of them apart.
    """
    groups = list(_mistakable(rows))
    sides = read_sides(session, {brew for group in groups for brew in group}) if groups else {}
    return {
        brew: words
        for group in groups
        for brew, words in _each([sides[brew] for brew in group], formats)
    }


def brews_in_words(
    session: Session, rows: Sequence[NamedBrew], formats: Formats
) -> list[tuple[int, str]]:
    """(id, words) for a list to pick from: first what a narrow list must not cut off."""
    told = told_apart(session, rows, formats)
    return [
        (row.id, f"{told[row.id]}: {words}" if row.id in told else words)
        for row in rows
        for words in (brew_in_words(row, formats),)
    ]


def pairs_apart(
    session: Session, pairs: Iterable[tuple[int, int]], formats: Formats
) -> dict[tuple[int, int], Apart]:
    """What sets A and B of each pair apart; six statements however many pairs there are."""
    pairs = set(pairs)
    sides = read_sides(session, {brew for pair in pairs for brew in pair}) if pairs else {}
    return {(a, b): _apart(sides[a], sides[b], formats) for a, b in pairs}


def _mistakable(rows: Sequence[Listed]) -> Iterable[list[int]]:
    """Groups of brews of one bean, each within NEAR of the next; ids old to new."""
    in_time = sorted(rows, key=lambda row: (row.bean_name, row.brewed_at, row.id))
    group: list[Listed] = []
    for row in (*in_time, None):
        last = group[-1] if group else None
        if (
            row
            and last
            and row.bean_name == last.bean_name
            and row.brewed_at - last.brewed_at <= NEAR
        ):
            group.append(row)
            continue
        if len(group) > 1:
            yield [one.id for one in group]
        group = [row] if row else []


def _each(sides: Sequence[Side], formats: Formats) -> Iterable[tuple[int, str]]:
    """What differs among them, and which of two alike brewers it was; else their order."""
    states = [compare(sides[0].setup, side.setup).states for side in sides[1:]]
    names = _names(states, "differs")[:MOST_TOLD] + _names(states, "alike")
    names = names or _names(states, "follows", "close", "unknown")[:MOST_TOLD]
    texts = {name: _texts(name, sides, formats) for name in names}
    for place, side in enumerate(sides):
        words = ", ".join(texts[name][place] for name in names)
        yield side.row.id, words or f"{ordinal(place + 1)} of {len(sides)}"


def _names(states: Iterable[Mapping[str, str]], *wanted: str) -> list[str]:
    return [name for name in LABELS if any(of[name] in wanted for of in states)]


def _texts(name: str, sides: Sequence[Side], formats: Formats) -> list[str]:
    """The setting of each brew; numbers with what they are a number of."""
    return [
        _named(name, text) if text else f"{LABELS[name]} not noted"
        for text in _settings(name, sides, formats)
    ]


def _settings(name: str, sides: Sequence[Side], formats: Formats) -> list[str]:
    texts = [setting_text(name, side, formats) for side in sides]
    if name == "stack":
        counted = [_counted(side) for side in sides]
        texts = counted if len(set(counted)) > 1 else texts
    return texts


def _named(name: str, text: str) -> str:
    if name in NAMED_BY_TEXT:
        return text
    if name == "age_days":
        return f"rested {text}" if text[0].isdigit() else text
    return so_many(int(text), name) if name == "stirs" else f"{text} {LABELS[name]}"


def _counted(side: Side) -> str:
    """Its filters by material: 2 paper filters, 1 paper and 1 metal filter."""
    counts = Counter(use.material for use in side.stack)
    words = listed([f"{count} {material}" for material, count in counts.items()])
    return f"{words} filter{'s' if len(side.stack) > 1 else ''}" if words else "no filter"


def _apart(a: Side, b: Side, formats: Formats) -> Apart:
    fairness = compare(a.setup, b.setup)
    causes = [name for name in LABELS if fairness.states[name] == "differs"]
    if not causes:
        return Apart("repeat", "nothing differs: a repeat")
    if len(causes) == 1:
        texts = [text or "not noted" for text in _settings(causes[0], (a, b), formats)]
        return Apart("one", f"{LABELS[causes[0]]}: {' and '.join(texts)}")
    labels = [LABELS[name] for name in causes]
    more = len(labels) - MOST_NAMED
    shown = [*labels[:MOST_NAMED], f"{more} more"] if more > 0 else labels
    return Apart("several", f"{listed(shown)} differ")
