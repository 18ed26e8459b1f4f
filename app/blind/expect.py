"""What a plan would find: in words and as a chart, with what to keep in mind."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

from app.blind.at_the_table import GRAMS_A_CUP
from app.blind.words import SIZES
from app.charts.evidence import power
from app.charts.figure import Chart
from app.formats import Formats
from app.journal.blind.plan import fixed_answers, judged_by_controls, rule_of
from app.models import BlindTest
from app.sensory.blind.control import control_promise
from app.sensory.blind.planning import (
    FIXED_NOW,
    Outlook,
    cautions,
    outlook,
    promise,
    suggestion,
    trials_for,
)
from app.sensory.blind.preference_rule import preference_outlook
from app.sensory.blind.sequential import Rule

SIZES_PCT = tuple(range(0, 101, 5))
TABLE_STEP = 2
SIZES_OFFERED = tuple(int(size) / 100 for size in SIZES)
FEW = (
    " Two brews give only a few trials, at {} a cup: enough to show what is plain. "
    "For what is fine, choose these ways of brewing."
)
BY_CONTROLS = (
    "It is not judged against guessing but against its A-against-A trials. Which ones these are "
    "nobody learns before the end."
)


@dataclass(frozen=True, slots=True)
class Expectation:
    """`promise` in plain words; `chart` is left out where guessing is not the yardstick.

    `needed` says how many trials a fixed number takes, for the size that matters.
    """

    promise: str
    chart: Chart | None
    suggestion: str | None
    cautions: tuple[str, ...]
    needed: str = ""


def expect(test: BlindTest, formats: Formats) -> Expectation:
    """What the plan of a test (saved or not) would find."""
    if test.method == "preference":
        return _preference(test, formats)
    method, rule = test.method, rule_of(test)
    minding = cautions(method, rule, solo=test.pouring == "solo", reminder=bool(test.reminder))
    if judged_by_controls(test):
        found = control_promise(method, test.fixed_trials or 0, test.controls, test.p_d)
        return Expectation(f"{found} {BY_CONTROLS}", None, suggestion(method), minding)
    x_title = "perceived, % of trials"
    chart = _chart(lambda size: outlook(rule, size), test.p_d, x_title, formats)
    needed = trials_for(rule, test.p_d)
    return Expectation(promise(rule, test.p_d), chart, suggestion(method), minding, needed)


def takes(test: BlindTest, formats: Formats) -> str:
    """How long, or how surely, this plan finds a small, a medium and a large difference; empty
    where it is judged by its trials of A against A."""
    if judged_by_controls(test):
        return ""
    if test.method == "preference":
        outlooks = [preference_outlook(fixed_answers(test), size) for size in SIZES_OFFERED]
    else:
        outlooks = [_outlook(replace(rule_of(test), p_d=size)) for size in SIZES_OFFERED]
    if test.rule == "fixed number":
        chances = [f"{100 * one.shown:.0f}" for one in outlooks]
        return f"This number finds it {_or(chances)} times in 100: small, medium or large."
    trials = [f"{one.found_after:.0f}" for one in outlooks]
    few = FEW.format(formats.grams(GRAMS_A_CUP)) if test.brewing == "one pair" else ""
    return (
        f"Where it is found, that takes {_or(trials)} trials on average: small, medium or large."
        f"{few}"
    )


@cache
def _outlook(rule: Rule) -> Outlook:
    return outlook(rule, rule.p_d or 0)


def _or(words: list[str]) -> str:
    return f"{', '.join(words[:-1])} or {words[-1]}"


def _preference(test: BlindTest, formats: Formats) -> Expectation:
    planned = fixed_answers(test)
    real, coin = preference_outlook(planned, test.p_d), preference_outlook(planned, 0.0)
    share = 50 + 50 * test.p_d
    promise = (
        f"Where one cup is preferred in {share:.0f} % of answers, that is found "
        f"{100 * real.shown:.0f} times in 100 within {real.most} answers, on average at answer "
        f"{real.found_after:.0f} where it is found; where neither is, "
        f"a coin passes for a preference {100 * coin.shown:.0f} times in 100. "
        "Answers without a preference are set aside."
    )
    x_title = "firm preference for one cup, % of answers"
    chart = _chart(lambda size: preference_outlook(planned, size), test.p_d, x_title, formats)
    return Expectation(promise, chart, None, (FIXED_NOW,) if planned else ())


def _chart(
    outlook: Callable[[float], Outlook], p_d: float, x_title: str, formats: Formats
) -> Chart:
    outlooks = [outlook(size / 100) for size in SIZES_PCT]
    shown_pct = [100 * at_size.shown for at_size in outlooks]
    figure = power(SIZES_PCT, shown_pct, matters_pct=100 * p_d, x_title=x_title)
    rows = [
        [str(size), formats.fixed(100 * at_size.shown, 0), formats.fixed(at_size.mean_trials, 0)]
        for size, at_size in zip(SIZES_PCT, outlooks, strict=True)
    ][::TABLE_STEP]
    head = ["Perceived, %#", "Shown in 100 tests#", "Trials on average#"]
    return Chart("How often it is found, by its size", figure, head, rows)
