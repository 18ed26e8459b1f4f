"""The cups of a question in words: what both are made with, and what sets them apart."""

from collections.abc import Mapping
from dataclasses import dataclass

from app.formats import Formats, ordinal
from app.journal.pairs.pair import Side
from app.journal.pairs.rows import Line, setting_text
from app.journal.pairs.setup import LABELS
from app.journal.sittings.planned import NOT_SET
from app.journal.told import NAMED_BY_TEXT
from app.sensory.terms import Letter

PLAIN = {"upright", "0"}  # what goes without saying, in both cups


@dataclass(frozen=True, slots=True)
class CupsInWords:
    """What is the same for both cups, and what for each of them."""

    both: str
    each: Mapping[Letter, str]


def in_words(cups: Mapping[Letter, Side], formats: Formats) -> CupsInWords:
    both: list[str] = []
    each: dict[Letter, list[str]] = {letter: [] for letter in cups}
    for name in LABELS:
        said = {letter: _setting(name, side, formats) for letter, side in cups.items()}
        if name in NOT_SET or not any(said.values()):
            continue
        if len(set(said.values())) == 1:
            both.append(next(iter(said.values())))
        else:
            for letter, text in said.items():
                each[letter].append(text or f"no {LABELS[name]}")
    return CupsInWords(" · ".join(both), {key: " · ".join(texts) for key, texts in each.items()})


def otherwise_in_words(lines: list[Line]) -> str:
    """Such as: dose 15.5 g, planned 14.5 g; stirs 2, planned 0."""
    return "; ".join(
        f"{line.label} {line.b or 'not noted'}, planned {line.a or 'none'}" for line in lines
    )


def _setting(name: str, side: Side, formats: Formats) -> str:
    """A setting with its name, unless it says itself what it is; nothing where it is as usual."""
    if name == "use":
        uses = [use.number for use in side.stack if use.wears and use.number]
        return " + ".join("fresh" if use == 1 else f"{ordinal(use)} use" for use in uses)
    text = setting_text(name, side, formats)
    if not text or text in PLAIN or text.startswith("0\xa0"):
        return ""
    return text if name in NAMED_BY_TEXT else f"{LABELS[name]} {text}"
