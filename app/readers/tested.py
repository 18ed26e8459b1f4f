"""Blind tests in words for strangers: how it was done, what came out, what A and B were."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from app.journal.blind.evidence import BlindEvidence
from app.journal.blind.plan import judged_by_controls, rule_of
from app.journal.blind.standing import Standing
from app.models.tastings import JUST_RIGHT_SCALES
from app.readers import words
from app.readers.ticks import Ticks
from app.sensory.blind.preference_words import lead as preference_lead
from app.sensory.blind.record import Panel, Record, panel_of
from app.sensory.blind.said import lead
from app.sensory.terms import Letter

Cups = Mapping[Letter, str]  # what A and B were; empty where that is not to be told


def said_of(test: BlindEvidence, cups: Cups, ticks: Ticks) -> str:
    """One test in a few sentences."""
    plan = test.test
    named = f" (“{plan.title}”)" if ticks.notes else ""
    what = "; ".join(f"{letter}: {text}" for letter, text in cups.items())
    told = [
        f"{test.method_name} test{named}, blind, {words.spelled(test.n, 'trial')}.",
        f"{what}." if what else "",
        _counted(test, ticks),
        f"{words.capital(words.POURED[plan.pouring])}; {words.BREWED[plan.brewing]}.",
        _void(test),
    ]
    return " ".join(filter(None, told))


def found_by(test: BlindEvidence, cups: Cups, ticks: Ticks) -> str:
    """What an ended test has shown, such as "B has more body"."""
    if test.state == "close enough":
        return words.CLOSE
    if test.way is None:
        return words.TOLD_APART
    what = f" ({cups[test.way]})" if cups.get(test.way) else ""
    cup = f"cup {test.way}{what}"
    if not test.test.attribute:
        return f"{cup} is preferred"
    return f"{cup} has more {attribute_of(test, ticks)}"


def tasters_of(tests: Sequence[BlindEvidence]) -> list[tuple[int, str]]:
    """Each taster once, those of the first test first."""
    return list(dict.fromkeys(taster for test in tests for taster in test.tasters))


def panel(test: BlindEvidence) -> Panel:
    return panel_of([taster_id for taster_id, _ in test.tasters])


def _counted(test: BlindEvidence, ticks: Ticks) -> str:
    if test.read is None:
        return words.HIDDEN
    if not test.n:
        return ""
    found = found_by(test, {}, ticks)
    return f"{_lead(test, test.read, ticks)} {words.ENDED[test.state].format(found=found)}"


def _lead(test: BlindEvidence, read: Standing, ticks: Ticks) -> str:
    """What was done how often, and what guessing gets."""
    plan, who = test.test, test.tasters[0][1] if ticks.tasters else "One taster"
    if read.preference:
        each = tuple(replace(own, taster=who) for own in read.preference.each)
        return preference_lead(replace(read.preference, each=each), panel(test))
    if plan.method == "preference" or judged_by_controls(plan):
        return (
            f"{read.correct} of {read.n} answers were right; they were set against trials of one "
            "brew against itself."
        )
    record = Record(
        plan.method, plan.claim, rule_of(plan), read.correct, read.n, panel(test),
        attribute_of(test, ticks), plan.ended, more=plan.more or "B", taster=who,
    )  # fmt: skip
    turned = test.state == "shown" and record.other_way and record.method == "paired"
    return lead(record, turned=turned)


def attribute_of(test: BlindEvidence, ticks: Ticks) -> str:
    """The scales' own words go out unasked, what a household named itself does not."""
    attribute = test.test.attribute
    if not attribute or ticks.cups or attribute.casefold() in JUST_RIGHT_SCALES:
        return attribute
    return words.WHAT_WAS_ASKED


def _void(test: BlindEvidence) -> str:
    count = len(test.void_reasons)
    were = "was" if count == 1 else "were"
    return f"{words.capital(words.spelled(count, 'trial'))} {were} void." if count else ""
