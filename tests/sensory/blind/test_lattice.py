from itertools import product

import pytest

from app.sensory.blind.planning import outcomes
from app.sensory.blind.sequential import (
    STEP_BY_STEP_P_D,
    EveryMorning,
    FixedNumber,
    Lines,
    StepByStep,
    settled,
)

GUESSES = (1 / 3, 0.5)
MOST = 2000
P_D = (0.2, 0.3, 0.4, 0.5, 0.6)


@pytest.mark.parametrize("p_c", [1 / 3, 0.7])
@pytest.mark.parametrize(
    "rule", [EveryMorning(1 / 3), FixedNumber(1 / 3, 10), StepByStep(1 / 3, 0.5)], ids=str
)
def test_agrees_with_going_through_every_sequence_of_answers(rule, p_c):
    chance, length = {"shown": 0.0, "close enough": 0.0, "undecided": 0.0}, 0.0
    for answers in product((True, False), repeat=10):
        weight = p_c ** sum(answers) * (1 - p_c) ** (10 - sum(answers))
        end = settled(rule, answers)
        length += weight * (end[0] if end else 10)
        if end:
            chance[end[1]] += weight
    found = outcomes(rule.lines(10), p_c)
    assert found.shown[-1] == pytest.approx(chance["shown"])
    assert found.ended[-1] == pytest.approx(chance["close enough"] + chance["undecided"])
    assert found.mean_trials == pytest.approx(length)


@pytest.mark.parametrize("guess", GUESSES)
@pytest.mark.parametrize("p_d", P_D)
def test_looking_after_every_trial_gives_at_most_5_percent_false_alarms(guess, p_d):
    lines = EveryMorning(guess, p_d).lines(MOST)
    assert 0.02 < outcomes(lines, guess).shown[-1] <= 0.05


@pytest.mark.parametrize("guess", GUESSES)
def test_nor_does_ignoring_the_second_line(guess):
    lines = EveryMorning(guess).lines(MOST)
    alone = outcomes(Lines(lines.shown, (-1,) * MOST), guess)
    assert alone.shown[-1] <= 0.05
    if guess < 0.5:
        assert alone.shown[59] == pytest.approx(0.030, abs=0.0005)
        assert alone.shown[-1] == pytest.approx(0.0385, abs=0.0001)


@pytest.mark.parametrize("guess", GUESSES)
@pytest.mark.parametrize("p_d", P_D)
def test_a_difference_that_matters_passes_for_close_enough_in_at_most_10_percent(guess, p_d):
    rule = EveryMorning(guess, p_d)
    lines = rule.lines(MOST)
    blind_to_shown = Lines(tuple(n + 1 for n in range(1, MOST + 1)), lines.ended)
    assert 0.02 < outcomes(blind_to_shown, rule.p1).ended[-1] <= 0.10
    assert outcomes(lines, rule.p1).ended[-1] <= 0.10


@pytest.mark.parametrize("guess", GUESSES)
@pytest.mark.parametrize("n", [18, 30, 60])
def test_a_fixed_number_gives_at_most_5_percent_false_alarms(guess, n):
    found = outcomes(FixedNumber(guess, n).lines(MOST), guess)
    assert 0.02 < found.shown[-1] <= 0.05
    assert found.shown[-1] + found.ended[-1] == pytest.approx(1)


@pytest.mark.parametrize("guess", GUESSES)
@pytest.mark.parametrize("p_d", STEP_BY_STEP_P_D)
def test_every_step_by_step_plan_offered_keeps_both_risks(guess, p_d):
    rule = StepByStep(guess, p_d)
    assert 0.02 < outcomes(rule.lines(MOST), guess).shown[-1] <= rule.alpha
    assert outcomes(rule.lines(MOST), rule.p1).ended[-1] <= rule.beta


def test_not_every_pair_of_straight_lines_would():
    rule = StepByStep(1 / 3, 0.5, alpha=0.05, beta=0.20)
    assert outcomes(rule.lines(MOST), 1 / 3).shown[-1] == pytest.approx(0.0551, abs=0.0001)


def test_testing_the_usual_way_every_day_would_raise_false_alarms():
    shown = tuple(FixedNumber(1 / 3, n).needed if n > 2 else n + 1 for n in range(1, 201))
    naive = outcomes(Lines(shown, (-1,) * 200), 1 / 3).shown
    assert [round(naive[n - 1], 2) for n in (30, 60, 200)] == [0.15, 0.19, 0.26]


@pytest.mark.parametrize(
    ("p_c", "shown", "trials"), [(0.6048069, 0.947, 23), (0.7814276, 1.0, 9)], ids=["d'2", "d'3"]
)
def test_power_of_looking_every_morning_within_60_triangles(p_c, shown, trials):
    lines = EveryMorning(1 / 3).lines(60)
    found = outcomes(Lines(lines.shown, (-1,) * 60), p_c)
    assert found.shown[-1] == pytest.approx(shown, abs=0.0005)
    assert round(found.mean_trials) == trials
