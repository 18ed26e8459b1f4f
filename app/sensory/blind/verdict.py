"""What a blind test says, in one sentence, and what it does not say, in the next."""

from dataclasses import dataclass

from app.sensory.blind.discrimination import clopper_pearson, p_value
from app.sensory.blind.evalue import (
    CLOSE_AT,
    SHOWN_AT,
    evidence,
    evidence_close,
    interval,
    lower_limit,
    upper_limit,
)
from app.sensory.blind.methods import METHOD_FACTS
from app.sensory.blind.record import PANELS, Record, figure, percent
from app.sensory.blind.sequential import EveryMorning, FixedNumber, StepByStep
from app.sensory.terms import State


@dataclass(frozen=True)
class Verdict:
    """A state, a sentence, what the sentence does not say, and cautions (may be none)."""

    state: State
    sentence: str
    not_said: str
    cautions: tuple[str, ...]


def verdict(record: Record) -> Verdict:
    """The verdict on a record under the rule chosen beforehand."""
    if not 0 <= record.correct <= record.n:
        raise ValueError("right answers must lie between 0 and the number of trials")
    state = record.rule.state(record.correct, record.n)
    if state == "open":
        ending: State = "stopped" if record.stopped else "open"
        sentence = _stopped(record) if record.stopped else _open(record)
        return Verdict(ending, sentence, _not_said_when_open(record), _cautions(record))
    why, limit = _reason(record, state)
    if state == "shown":
        sentence = f"{record.count}: a {record.difference} is shown, since {why}."
        return Verdict(state, sentence, _not_said_when_shown(record, limit), ())
    sentence = f"{record.count}: {state}, since {why}."
    return Verdict(state, sentence, _not_said_when_ended(record, limit), _cautions(record))


def _reason(record: Record, state: State) -> tuple[str, float]:
    """Why the rule ended the test, and the share right it leaves: least when shown, else most."""
    rule = record.rule
    if isinstance(rule, EveryMorning):
        return _by_evidence(record, rule, state)
    if isinstance(rule, FixedNumber):
        return _by_count(record, rule, state)
    return _by_lines(record, rule, state)


def _by_evidence(record: Record, rule: EveryMorning, state: State) -> tuple[str, float]:
    if state == "shown":
        now = figure(evidence(record.correct, record.n, record.guess))
        bound = f"guessing alone would ever bring the evidence ({now} now) to {SHOWN_AT:.0f}"
        return f"{bound} in at most 1 test in 20", lower_limit(record.correct, record.n)
    size = record.perceived("or more", rule.p_d)
    why = f"a difference{record.direction} perceived {size}, the size set beforehand,"
    high = upper_limit(record.correct, record.n, CLOSE_AT)
    return f"{why} would ever look this small in at most 1 test in 10", high


def _by_count(record: Record, rule: FixedNumber, state: State) -> tuple[str, float]:
    left = rule.trials - record.n
    if state == "shown":
        why = f"guessing alone gets {rule.needed} or more of {rule.trials}"
        low = clopper_pearson(record.correct, rule.trials, 0.90)[0]  # as if the rest were wrong
        if rule.panel:
            return f"{why} in at most 5 panels of 100", low
        chance = 100 * p_value(rule.needed, rule.trials, record.guess)
        return f"{why} in only {chance:.2g} tests of 100", low
    high = clopper_pearson(record.correct + left, rule.trials, 0.90)[1]  # as if it were right
    if left:
        return f"the {rule.needed} of {rule.trials} needed can no longer be reached", high
    return f"{rule.needed} were needed to show a {record.difference}", high


def _by_lines(record: Record, rule: StepByStep, state: State) -> tuple[str, float]:
    if state == "shown":
        why = "the upper line is crossed, which guessing alone does in about"
        return f"{why} {100 * rule.alpha:.2g} tests of 100", lower_limit(record.correct, record.n)
    size = record.perceived("or more", rule.p_d)
    why = f"a difference{record.direction} perceived {size}, the size set beforehand,"
    return f"{why} would cross the lower line in about {100 * rule.beta:.2g} tests of 100", 1.0


def _not_said_when_shown(record: Record, low: float) -> str:
    size = "how large the difference is"
    if record.p_d(low) >= 0.005:
        size += f", beyond its being perceived {record.perceived('at least', record.p_d(low))}"
    return f"It does not say which is better, nor {size}. {record.about}"


def _not_said_when_ended(record: Record, high: float) -> str:
    left = "a small one"
    if record.p_d(high) >= 0.005 and high < 1:
        left = f"one perceived {record.perceived('up to', record.p_d(high))}"
    return f"It does not say that there is no difference: {left} is not ruled out. {record.about}"


def _open(record: Record) -> str:
    if record.n == 0:
        return "No trial yet: nothing is known."
    lead = f"{record.count}: open, since"
    rule = record.rule
    if isinstance(rule, FixedNumber):
        if rule.panel:
            return f"{lead} a panel of {rule.trials} is read once all have tasted."
        return f"{lead} {rule.needed} of {rule.trials} are needed and can still be reached."
    if isinstance(rule, StepByStep):
        return f"{lead} neither line is crossed."
    e = figure(evidence(record.correct, record.n, record.guess))
    mirror = figure(evidence_close(record.correct, record.n, rule.p1))
    return (
        f"{lead} the evidence for a difference is {e} with its line at {SHOWN_AT:.0f}, "
        f"and for close enough {mirror} with its line at {CLOSE_AT:.0f}."
    )


def _stopped(record: Record) -> str:
    if record.n == 0:
        return "Stopped before the first trial: nothing is known."
    return f"{record.count}: stopped before its rule was met, so there is no verdict."


def _not_said_when_open(record: Record) -> str:
    neither = f"It says neither that there is a {record.difference} nor that there is none"
    if record.n == 0:
        return f"{neither}."
    low, high = interval(record.correct, record.n)
    text = (
        f"{neither}: in the long run anything from {percent(low)} to {percent(high)} may be "
        f"right, and guessing gets {percent(record.guess)}."
    )
    return text if record.panel == "one taster" else f"{text} {PANELS[record.panel]}"


def _cautions(record: Record) -> tuple[str, ...]:
    if interval(record.correct, record.n)[1] >= record.guess:
        return ()
    if METHOD_FACTS[record.method].directed:
        why = "they may differ the other way round, which takes a new test named so beforehand"
    else:
        why = "look for a mix-up of codes or keys"
    return (f"Fewer are right than guessing gets: {why}.",)
