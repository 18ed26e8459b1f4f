"""The cups behind a publication, their settings in words that may go out."""

from collections.abc import Iterable, Sequence
from statistics import fmean
from typing import NamedTuple

from sqlalchemy.orm import Session

from app.formats import Formats
from app.journal.gathered.groups import BrewLine
from app.journal.pairs.details import StepRow, steps_of
from app.journal.pairs.fairness import compare
from app.journal.pairs.pair import Side, read_sides
from app.journal.pairs.setup import LABELS
from app.readers.called import Names
from app.readers.things import things_of
from app.readers.ticks import Ticks

# These say what they are of by themselves: "paper filter".
SPEAK_FOR_THEMSELVES = {
    "bag", "brewer", "filter", "grinder", "kettle water", "upright or flipped",
    "steps of the recipe",
}  # fmt: skip

COUNTED = ("use of the filter", "stirs")
STEPS = "steps"  # of the recipe, in words: no label of a setup
Lines = dict[int, BrewLine]


def read_cups(session: Session, brew_ids: Iterable[int], ticks: Ticks, formats: Formats) -> Lines:
    """The brews by their numbers, in order of time, in a number of statements that stays."""
    read = read_sides(session, set(brew_ids)).values()
    sides = sorted(read, key=lambda side: (side.details.brewed_at, side.row.id))
    names = Names(sides, things_of(session, sides), ticks, formats)
    steps = steps_of(session, {side.row.revision_id for side in sides if side.row.revision_id})
    told = {key: steps_in_words(rows, formats) for key, rows in steps.items()}
    return {
        side.row.id: BrewLine(
            side,
            names.texts(side) | {STEPS: told.get(side.row.revision_id or 0, "")},
            _liking(side),
        )
        for side in sides
        if side.details.binned_at is None
    }


def _liking(side: Side) -> float | None:
    scores = [row.liking for row in side.tastings if row.liking is not None]
    return fmean(scores) if scores else None


def of_setting(label: str, text: str) -> str:
    """paper filter; 3rd use of the filter; 1 stir; dose 17.5 g."""
    if label in SPEAK_FOR_THEMSELVES:
        return text
    if (label, text) == ("stirs", "1"):
        return "1 stir"
    return f"{text} {label}" if label in COUNTED else f"{label} {text}"


class Apart(NamedTuple):
    """A setting of two cups that differs, in the words for each."""

    label: str
    a: str
    b: str


def steps_in_words(steps: Sequence[StepRow], formats: Formats) -> str:
    """0:00 bloom 40 g; 0:45 pour 180 g; stir."""
    told = []
    for step in steps:
        at = formats.clock(step.starts_s) if step.starts_s is not None else ""
        grams = formats.grams(step.grams) if step.grams else ""
        lasts = f"for {formats.clock(step.lasts_s)}" if step.lasts_s else ""
        told.append(" ".join(filter(None, (at, step.kind, grams, lasts))))
    return "; ".join(told)


def apart(a: BrewLine, b: BrewLine) -> list[Apart]:
    """What was set otherwise for two cups, where that is told."""
    differing = compare(a.side.setup, b.side.setup).named("differs")
    told = [(label, a.texts[label], b.texts[label]) for label in LABELS.values()]
    return [
        Apart(label, of_setting(label, ours), of_setting(label, theirs))
        for label, ours, theirs in told
        if label in differing and ours and theirs and ours != theirs
    ]
