"""The figures behind a verdict: what the rule asks for, and where the counts stand."""

from app.sensory.blind.discrimination import p_value
from app.sensory.blind.evalue import (
    CLOSE_AT,
    SHOWN_AT,
    evidence,
    evidence_both,
    evidence_close,
    evidence_close_both,
)
from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.record import Record, percent, rough
from app.sensory.blind.sequential import EveryMorning
from app.sensory.blind.steps import StepByStep


def sums(record: Record) -> tuple[str, ...]:
    """A few sentences, each with its figures; none before the first trial."""
    if record.n == 0:
        return ()
    rule = record.rule
    if isinstance(rule, EveryMorning):
        return _by_evidence(record, rule)
    return _by_count(record, rule) if isinstance(rule, FixedNumber) else _by_lines(record, rule)


def evidence_of(record: Record) -> float:
    """The e-value against guessing: both ways where a direction was named."""
    value = evidence_both if record.both_ways else evidence
    return value(record.correct, record.n, record.guess)


def evidence_close_of(record: Record, rule: EveryMorning) -> float:
    """The e-value against the size that matters, of both ways the weaker; lost ones right."""
    most = record.correct + record.lost
    if record.both_ways:
        sides = (rule.p1_other_way, rule.p1)
        return min(evidence_close_both(count, record.n, *sides) for count in (record.correct, most))
    return evidence_close(most, record.n, rule.p1)


def _by_evidence(record: Record, rule: EveryMorning) -> tuple[str, ...]:
    now, mirror = rough(evidence_of(record)), rough(evidence_close_of(record, rule))
    either = ", either way round" if record.both_ways else ""
    ways = f"{either}," if either else ""
    return (
        f"Evidence for a difference{either}: {now}. The line is at {SHOWN_AT:.0f}, which guessing "
        "alone would ever reach in at most 1 test in 20.",
        f"Evidence for close enough: {mirror}. The line is at {CLOSE_AT:.0f}, which a difference "
        f"perceived in {percent(rule.p_d)} of trials or more{ways} would ever reach in at most 1 "
        "test in 10.",
    )


def _by_count(record: Record, rule: FixedNumber) -> tuple[str, ...]:
    needed, planned, other = rule.needed, rule.trials, rule.needed_other_way
    chance = p_value(needed, planned, rule.guess)
    if other >= 0:
        chance += p_value(planned - other, planned, 1 - rule.guess)
    tests = "at most 5 panels" if rule.panel else f"{100 * chance:.2g} tests"
    low = f" or more of {planned}, or {other} or fewer," if other >= 0 else f" or more of {planned}"
    texts = [f"{needed}{low} show a difference; guessing alone gets that in {tests} of 100."]
    close, p_d = rule.close, rule.p_d
    if close and p_d is not None:
        what = "panels" if rule.panel else "tests"
        counts = f"{close[0]} to {close[1]}" if close[0] else f"{close[1]} or fewer"
        texts.append(
            f"{counts} of {planned} are close enough; a difference perceived in {percent(p_d)} of "
            f"trials gets that in at most {100 * rule.beta:.0f} {what} of 100."
        )
    elif p_d is not None:
        texts.append(f"{planned} trials are too few to call anything close enough.")
    if record.n < planned:
        texts.append(f"It is read after {planned} trials, or as soon as the end is certain.")
    return tuple(texts)


def _by_lines(record: Record, rule: StepByStep) -> tuple[str, ...]:
    n, right = record.n, rule.right
    shows, close = right.shows(n), right.close(n)
    shown = [f"{shows} or more right"] if shows <= n else []
    low = 0
    if rule.both_ways:
        other, low = n - rule.wrong.shows(n), n - rule.wrong.close(n)
        shown += [f"{other} or fewer"] if other >= 0 else []
    texts = [f"After {n} trials {' and '.join(shown) or 'no count'} would show a difference"]
    if low <= close:
        texts.append(f"{low} to {close} would be close enough")
    false, missed = f"{100 * rule.alpha:.0f}", f"{100 * rule.beta:.0f}"
    risks = (
        f"Guessing alone crosses a line of difference in about {false} tests of 100; a difference "
        f"perceived in {percent(rule.p_d)} of trials passes for close enough in about {missed}."
    )
    return f"{'; '.join(texts)}.", risks
