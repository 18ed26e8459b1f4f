"""Tests with several tasters: how far each of them is, and who may still taste."""

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
MISSING = "{} of {} tasters are here: add the others first."
FULL = "All {} places of this panel are taken."
TOO_MANY = "That makes more than {} tasters."
ALONE = "This test was planned for one taster, and is about that one."
LUCK = (
    "Only the count of all is judged. Of several tasters the best one does well by luck alone, so "
    "nobody’s own count here shows what they can taste."
)


@dataclass(frozen=True, slots=True)
class TasterProgress:
    """How far a taster of the test is: answers given, their result, and the trial not finished.

    `result` is empty while results wait for the end of the test; `drawn` counts void trials too.
    """

    seat_id: int
    taster_id: int
    name: str
    answered: int
    result: str
    open_trial: OpenTrial | None
    drawn: bool

    @property
    def has_tasted(self) -> bool:
        return self.answered > 0 or self.open_trial is not None


def progress_of_tasters(
    test: BlindTest,
    tasters: Sequence[TasterRow],
    trials: Sequence[OpenTrial],
    finished: Sequence[FinishedTrial],
) -> list[TasterProgress]:
    """The progress of each taster; `finished` is empty while nobody may know the results."""
    counted = [trial for trial in finished if not (trial.warm_up or trial.is_control)]
    return [
        _progress(
            taster,
            [trial for trial in trials if trial.taster_id == taster.taster_id],
            _result(test, [trial for trial in counted if trial.taster_id == taster.taster_id]),
        )
        for taster in tasters
    ]


def _progress(taster: TasterRow, drawn: list[OpenTrial], result: str) -> TasterProgress:
    valid = [trial for trial in drawn if not trial.voided_at]
    return TasterProgress(
        *taster,
        answered=sum(trial.answered_at is not None and not trial.warm_up for trial in valid),
        result=result,
        open_trial=next((trial for trial in valid if _is_open(trial)), None),
        drawn=bool(drawn),
    )


def _is_open(trial: OpenTrial) -> bool:
    return trial.answered_at is None or (trial.pouring == "solo" and trial.lifted is None)


def _result(test: BlindTest, counted: list[FinishedTrial]) -> str:
    if not counted:
        return ""
    if test.method != "preference":
        right = sum(is_right(test.method, test.more, trial) for trial in counted)
        return f"{right} of {len(counted)} right"
    preferred = [choice.preferred for choice in map(choice_of, counted) if choice]
    return f"A {preferred.count('A')} times, B {preferred.count('B')} times"


def refused_draw(
    test: BlindTest, everybody: Sequence[TasterProgress], taster: TasterProgress
) -> str | None:
    """Why this taster gets no further trial; a panel only fills places left by void trials."""
    if not test.balanced or taster.open_trial:
        return None
    if not any(other.drawn for other in everybody):
        return NOT_DEALT
    if taster.has_tasted:
        return ONE_EACH
    places = test.fixed_trials or 0
    return FULL.format(places) if sum(t.has_tasted for t in everybody) >= places else None


def refused_join(test: BlindTest, everybody: Sequence[TasterProgress], more: int) -> str | None:
    """Why so many more tasters cannot join.

    In a panel, a taster whose only trials are void has given up the place.
    """
    if not test.several_tasters:
        return ALONE
    if not test.balanced:
        return TOO_MANY.format(PANEL[1]) if len(everybody) + more > PANEL[1] else None
    taken = sum(taster.has_tasted or not taster.drawn for taster in everybody)
    places = test.fixed_trials or 0
    return FULL.format(places) if taken + more > places else None
