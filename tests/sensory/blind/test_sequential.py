import json
from fractions import Fraction
from pathlib import Path

import pytest

from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.sequential import STEP_BY_STEP_P_D, EveryMorning, reached, settled
from app.sensory.blind.steps import StepByStep

CASES = json.loads((Path(__file__).parent / "cases" / "step_by_step.json").read_text())
GUESSES = (1 / 3, 0.5)
OFFERED = [
    rule
    for g in GUESSES
    for both in (False, True)
    for rule in (
        *(EveryMorning(g, p_d, both) for p_d in (0.2, 0.4, 0.6)),
        *(FixedNumber(g, n, both_ways=both) for n in (18, 30, 60)),
        *(FixedNumber(g, n, p_d=0.4, both_ways=both) for n in (18, 30, 60)),
        *(StepByStep(g, p_d, both_ways=both) for p_d in STEP_BY_STEP_P_D),
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
            assert getattr(rule.right, name) == pytest.approx(expected[name], abs=case["tolerance"])
    assert settled(rule, right_and_wrong(asked["answers"])) == tuple(expected["stops"])
    stop = expected["stops"][0]
    assert settled(rule, right_and_wrong(asked["answers"])[: stop - 1]) is None


@pytest.mark.parametrize("rule", OFFERED, ids=str)
def test_lines_and_states_agree_at_every_count(rule):
    lines = rule.lines(80)
    for n in range(1, lines.most + 1):
        for correct in range(n + 1):
            ends = [
                band.end for band in lines.bands if band.low[n - 1] <= correct <= band.high[n - 1]
            ]
            found = {"other way": "shown"}.get(ends[0], ends[0]) if ends else "open"
            assert rule.state(correct, n) == found
            if ends[:1] == ["other way"]:
                assert correct < rule.guess * n


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


def test_fault_1_a_difference_the_other_way_round_is_found_by_every_rule():
    for rule in (
        EveryMorning(0.5, 0.4, both_ways=True),
        StepByStep(0.5, 0.4, both_ways=True),
        FixedNumber(0.5, 18, p_d=0.4, both_ways=True),
        FixedNumber(0.5, 18, p_d=0.4, both_ways=True, panel=True),
    ):
        n, state = settled(rule, [False] * 18)
        assert state == "shown"
        assert settled(rule, [True] * 18) == (n, "shown")
        assert rule.state(0, 3) == "open"  # as soon as this the old rules called it close enough
    # Three cups: from a third right down to none is a shorter way, so it takes longer.
    assert settled(EveryMorning(1 / 3, 0.4, both_ways=True), [False] * 40)[1] == "shown"


def test_close_enough_has_to_rule_out_both_ways():
    rule = EveryMorning(0.5, 0.4, both_ways=True)
    close = [s for s in range(61) if rule.state(s, 60) == "close enough"]
    assert close == list(range(min(close), 61 - min(close)))
    assert min(close) < 30 < max(close)


def test_a_lost_mark_helps_no_ending():
    both = EveryMorning(0.5, 0.4, both_ways=True)
    assert settled(both, [False] * 8) == (8, "shown")
    assert settled(both, [None] * 30) is None
    assert settled(both, [False] * 7 + [None]) is None
    morning = EveryMorning(1 / 3, 0.4)
    assert settled(morning, [True] * 4 + [None]) == (4, "shown")
    alike = [True, False, False] * 10
    assert settled(morning, alike)[1] == "close enough"
    assert settled(morning, [None if i % 3 == 1 else one for i, one in enumerate(alike)]) is None
    assert reached(FixedNumber(1 / 3, 18, p_d=0.4), 9, 18, lost=1) == "undecided"


def test_a_fixed_number_may_end_close_enough():
    rule = FixedNumber(1 / 3, 30, p_d=0.3)
    assert rule.close == (0, 11)
    assert rule.state(11, 30) == "close enough"
    assert rule.state(12, 30) == "undecided"
    assert settled(rule, [False] * 30) == (19, "close enough")  # 11 left, and 11 are few enough
    assert FixedNumber(1 / 3, 30).close is None
    panel = FixedNumber(1 / 3, 30, p_d=0.3, panel=True)
    assert panel.close == (0, 10)  # one fewer, see test_panel
