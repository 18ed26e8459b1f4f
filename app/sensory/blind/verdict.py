"""What a blind test says, what it does not say, and the figures behind it."""

from dataclasses import dataclass, replace

from app.sensory.blind.evalue import interval
from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.record import PANELS, Record, size_of
from app.sensory.blind.said import lead, sentence
from app.sensory.blind.sums import sums
from app.sensory.terms import Letter, State

OLDER_CLOSE = (
    "It ended as close enough by an older rule, which looked one way only and did not rule out "
    "the other. So that is not said any more."
)
OLDER = "It ended so by the rule it was planned with, which {}."
ONE_WAY, NOT_CLOSE = "looked one way only", "had no close enough"
SMALLER = {"large": "a small or medium one", "medium": "a small one", "small": "a smaller one"}


@dataclass(frozen=True)
class Verdict:
    """A state, a sentence, what the sentence does not say, cautions, and the sums behind it.

    `way` is the cup that is shown to have more of what was named; `other_way` says that it is not
    the one that was expected to.
    """

    state: State
    sentence: str
    not_said: str
    cautions: tuple[str, ...]
    sums: tuple[str, ...] = ()
    way: Letter | None = None
    other_way: bool = False


def verdict(record: Record) -> Verdict:
    """The verdict on a record under the rule chosen beforehand."""
    if not 0 <= record.correct <= record.correct + record.lost <= record.n:
        raise ValueError("right answers must lie between 0 and the number of trials")
    state, older = _state(record)
    shown = state == "shown"
    return Verdict(
        state,
        f"{lead(record)} {older}" if older == OLDER_CLOSE else sentence(record, state),
        _not_said(record, state),
        _cautions(record, state) + ((older,) if older not in ("", OLDER_CLOSE) else ()),
        sums(record),
        record.way if shown and record.directed else None,
        shown and record.other_way,
    )


def _state(record: Record) -> tuple[State, str]:
    """The state, and a word on an older rule where that is what ended the test."""
    now, ended = record.state, record.ended
    if ended == "stopped" and now == "open":
        return "stopped", ""
    if ended in (None, "stopped", now) or record.n == 0 or not _by_older_rule(record):
        return now, ""
    if ended == "close enough":
        return "undecided", OLDER_CLOSE
    return ended, OLDER.format(ONE_WAY if record.both_ways else NOT_CLOSE)


def _by_older_rule(record: Record) -> bool:
    """Whether the rule as it was before ends the test as the journal says: one way only, and no
    close enough for a fixed number."""
    rule = record.rule
    if isinstance(rule, FixedNumber):
        older: State = replace(rule, both_ways=False, p_d=None).state(record.correct, record.n)
    else:
        older = replace(rule, both_ways=False).state(record.correct, record.n)
    return older == record.ended


def _not_said(record: Record, state: State) -> str:
    if state == "shown":
        what = "which is better, nor how large the difference is"
        return f"It does not say {what}. {record.about}"
    no_difference = "It does not say that there is no difference"
    if state == "undecided":
        return f"{no_difference}. {record.about}"
    if state == "close enough":
        p_d = record.rule.p_d
        smaller = "a small one" if p_d is None else SMALLER[size_of(p_d)]
        return f"{no_difference}: {smaller} is not ruled out. {record.about}"
    neither = f"It says neither that there is a {record.difference} nor that there is none."
    return neither if record.panel == "one taster" else f"{neither} {PANELS[record.panel]}"


def _cautions(record: Record, state: State) -> tuple[str, ...]:
    lucky = interval(record.correct + record.lost, record.n)[1] >= record.guess
    if record.both_ways or state == "shown" or lucky:
        return ()
    return ("Fewer are right than guessing gets: look for a mix-up of codes or keys.",)
