"""Several tasters at one table: where each of them stands, and who may still taste."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.journal.blind.keys import choice_of, is_right
from app.journal.blind.open import OpenTrial, TasterRow
from app.journal.blind.sealed import FinishedTrial
from app.models import BlindTest
from app.sensory.blind.methods import PANEL

ONE_EACH = "In a panel everybody tastes once."
NOT_DEALT = (
    "The orders of a panel are dealt to everybody at once: use the button below the tasters."
)
MISSING = "{} of {} tasters are here: put down the others first."
FULL = "All {} places of this panel are taken."
TOO_MANY = "That makes more than {} tasters."
ALONE = "This test was planned for one taster, and is about that one."
LUCK = (
    "Only the count of all is judged. Of several tasters the best one does well by luck alone, so "
    "nobody’s own count here shows what they can taste."
)


@dataclass(frozen=True, slots=True)
class Seat:
    """A taster of the test: how many answers are in, what they came to, and the open trial.

    `said` is empty while the results wait for the end; `drawn` counts void trials too.
    """

    seat_id: int
    taster_id: int
    name: str
    answered: int
    said: str
    open: OpenTrial | None
    drawn: bool

    @property
    def tasted(self) -> bool:
        return self.answered > 0 or self.open is not None


def seats(
    test: BlindTest,
    tasters: Sequence[TasterRow],
    trials: Sequence[OpenTrial],
    finished: Sequence[FinishedTrial],
) -> list[Seat]:
    """Where each taster stands; `finished` has the keys, and is empty while nobody may know."""
    found = []
    for taster in tasters:
        drawn = [row for row in trials if row.taster_id == taster.taster_id]
        own = [row for row in drawn if not row.voided_at]
        counted = [
            row
            for row in finished
            if row.taster_id == taster.taster_id and not (row.warm_up or row.is_control)
        ]
        found.append(
            Seat(
                taster.seat_id,
                taster.taster_id,
                taster.name,
                sum(row.answered_at is not None and not row.warm_up for row in own),
                _said(test, counted),
                next((row for row in own if _is_open(row)), None),
                bool(drawn),
            )
        )
    return found


def _is_open(row: OpenTrial) -> bool:
    return row.answered_at is None or (row.pouring == "solo" and row.lifted is None)


def _said(test: BlindTest, counted: list[FinishedTrial]) -> str:
    if not counted:
        return ""
    if test.method != "preference":
        right = sum(is_right(test.method, test.more, row) for row in counted)
        return f"{right} of {len(counted)} right"
    preferred = [choice.preferred for choice in map(choice_of, counted) if choice]
    return f"A {preferred.count('A')} times, B {preferred.count('B')} times"


def refused_draw(test: BlindTest, everybody: Sequence[Seat], seat: Seat) -> str | None:
    """Why this taster gets no further trial; a panel only fills places left by void trials."""
    if not test.balanced or seat.open:
        return None
    if not any(one.drawn for one in everybody):
        return NOT_DEALT
    if seat.tasted:
        return ONE_EACH
    places = test.fixed_trials or 0
    return FULL.format(places) if sum(one.tasted for one in everybody) >= places else None


def refused_join(test: BlindTest, everybody: Sequence[Seat], more: int) -> str | None:
    """Why so many more tasters cannot join; who left a void trial only has given up the place."""
    if not test.several_tasters:
        return ALONE
    if not test.balanced:
        return TOO_MANY.format(PANEL[1]) if len(everybody) + more > PANEL[1] else None
    held, places = sum(one.tasted or not one.drawn for one in everybody), test.fixed_trials or 0
    return FULL.format(places) if held + more > places else None
