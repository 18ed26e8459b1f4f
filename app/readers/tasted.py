"""Who tasted the cups and how: how many tasters, how many scores, blind or not."""

from collections.abc import Iterable, Sequence
from itertools import accumulate
from statistics import fmean

from app.journal.pairs.fairness import listed
from app.journal.pairs.pair import Side
from app.journal.tastings import TastingRow
from app.readers.ticks import Ticks
from app.readers.words import capital, spelled

MOST_NOTES, MOST_LETTERS = 30, 4000


def scored(sides: Iterable[Side]) -> list[TastingRow]:
    """The tastings of the cups with a score of liking."""
    return [row for side in sides for row in side.tastings if row.liking is not None]


def who_scored(rows: Sequence[TastingRow], ticks: Ticks) -> str:
    """Three tasters gave 12 scores of liking (1–9), four of them blind; empty where none did."""
    if not rows:
        return ""
    tasters = list({row.taster_id: row.taster_name for row in rows}.values())
    who = listed(tasters) if ticks.tasters else spelled(len(tasters), "taster")
    blind = sum(row.blind for row in rows)
    how = {0: ", and could know which cup it was", len(rows): ", all of them blind"}.get(
        blind, f", {spelled(blind, 'of them', 'of them')} blind"
    )
    return f"{capital(who)} gave {spelled(len(rows), 'score')} of liking (1 to 9){how}."


def liking_by(side: Side, taster_id: int) -> float | None:
    """The mean score that a taster gave a cup."""
    own = [row.liking for row in side.tastings if row.taster_id == taster_id and row.liking]
    return fmean(own) if own else None


def notes_of(sides: Iterable[Side], ticks: Ticks) -> list[str]:
    """What was noted of the cups; nothing unless that is ticked."""
    if not ticks.notes:
        return []
    said = []
    for side in sides:
        said += [f"Of a cup: {side.details.note}"] if side.details.note else []
        for row in side.tastings:
            text = ". ".join(filter(None, (row.words, row.note)))
            who = f"Tasted by {row.taster_name}" if ticks.tasters else "Tasted"
            said += [f"{who}: {text}"] if text else []
    return said


def shortened(notes: Sequence[str]) -> list[str]:
    """Not more than one side of a sheet holds, however long they are; the first in any case."""
    ends = accumulate(map(len, notes))
    room = sum(n == 0 or end <= MOST_LETTERS for n, end in enumerate(ends))
    kept = min(room, MOST_NOTES)
    left = len(notes) - kept
    return [*notes[:kept], *([f"And {left} more."] if left > 0 else [])]
