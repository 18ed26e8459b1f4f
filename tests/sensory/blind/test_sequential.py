import json
from fractions import Fraction
from pathlib import Path

import pytest

from app.sensory.blind.sequential import (
    STEP_BY_STEP_P_D,
    EveryMorning,
    FixedNumber,
    StepByStep,
    settled,
)

CASES = json.loads((Path(__file__).parent / "cases" / "step_by_step.json").read_text())
GUESSES = (1 / 3, 0.5)
OFFERED = [
    rule
    for g in GUESSES
    for rule in (
        *(EveryMorning(g, p_d) for p_d in (0.2, 0.4, 0.6)),
        *(FixedNumber(g, n) for n in (18, 30, 60)),
        *(StepByStep(g, p_d) for p_d in STEP_BY_STEP_P_D),
    )
]


def right_and_wrong(text):
    return [mark == "1" for mark in text]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_published_examples(case):
    asked, expected = case["inputs"], case["expected"]
    rule = StepByStep(float(Fraction(asked["guess"])), asked["p_d"], asked["alpha"], asked["beta"])
    for name in ("slope", "above", "below"):
        if name in expected:
            assert getattr(rule, name) == pytest.approx(expected[name], abs=case["tolerance"])
    assert settled(rule, right_and_wrong(asked["answers"])) == tuple(expected["stops"])
    stop = expected["stops"][0]
    assert settled(rule, right_and_wrong(asked["answers"])[: stop - 1]) is None


@pytest.mark.parametrize("rule", OFFERED, ids=str)
def test_lines_and_states_agree_at_every_count(rule):
    lines = rule.lines(80)
    for n, (shown, ended) in enumerate(zip(lines.shown, lines.ended, strict=True), 1):
        for correct in range(n + 1):
            state = rule.state(correct, n)
            assert (state == "shown") == (correct >= shown)
            if correct < shown:
                assert (state == "open") == (correct > ended)


def test_every_morning_from_first_to_fourth_right_answer():
    rule = EveryMorning(1 / 3)
    assert [rule.state(n, n) for n in range(5)] == ["open", "open", "open", "open", "shown"]


def test_a_fixed_number_ends_as_soon_as_the_end_is_certain():
    rule = FixedNumber(1 / 3, 30)
    assert rule.needed == 15
    assert settled(rule, [True] * 30) == (15, "shown")
    assert settled(rule, [False] * 30) == (16, "undecided")
    assert rule.state(14, 29) == "open"
    assert rule.state(14, 30) == "undecided"


def test_curtailing_never_changes_the_end():
    rule = FixedNumber(1 / 3, 18)
    for right in range(19):
        answers = [True] * right + [False] * (18 - right)
        ends = {settled(rule, answers)[1], settled(rule, answers[::-1])[1]}
        assert ends == {"shown" if right >= rule.needed else "undecided"}


def test_more_trials_than_planned_are_refused():
    with pytest.raises(ValueError, match="more trials"):
        FixedNumber(1 / 3, 18).state(10, 19)


def test_a_plan_too_short_to_show_anything_is_refused():
    with pytest.raises(ValueError, match="too few"):
        FixedNumber(1 / 3, 2).state(1, 1)


def test_what_is_shown_once_stays_shown():
    answers = [True] * 4 + [False] * 20
    assert EveryMorning(1 / 3).state(4, 24) != "shown"
    assert settled(EveryMorning(1 / 3), answers) == (4, "shown")
