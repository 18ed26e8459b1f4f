from itertools import product

import pytest

from app.sensory.blind.evalue import interval
from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.lines import Lines, two_lines
from app.sensory.blind.planning import outcomes
from app.sensory.blind.sequential import STEP_BY_STEP_P_D, EveryMorning, settled
from app.sensory.blind.steps import StepByStep

GUESSES = (1 / 3, 0.5)


def shown_alone(lines: Lines) -> Lines:
    return Lines(tuple(band for band in lines.bands if band.end == "shown"))


MOST = 2000
P_D = (0.2, 0.3, 0.4, 0.5, 0.6)


EVERY_KIND = [
    EveryMorning(1 / 3),
    EveryMorning(0.5, 0.7, both_ways=True),
    EveryMorning(1 / 3, 0.7, both_ways=True),
    FixedNumber(1 / 3, 10),
    FixedNumber(1 / 3, 10, p_d=0.5),
    FixedNumber(0.5, 10, p_d=0.7, both_ways=True),
    FixedNumber(1 / 3, 10, p_d=0.7, both_ways=True),
    FixedNumber(0.5, 10, panel=True, p_d=0.7, both_ways=True),
    StepByStep(1 / 3, 0.5),
    StepByStep(0.5, 0.9, both_ways=True),
]


@pytest.mark.parametrize("p_c", [1 / 3, 0.7])
@pytest.mark.parametrize("rule", EVERY_KIND, ids=str)
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
    assert found.close[-1] == pytest.approx(chance["close enough"])
    assert found.undecided[-1] == pytest.approx(chance["undecided"])
    assert found.mean_trials == pytest.approx(length)


@pytest.mark.parametrize("guess", GUESSES)
@pytest.mark.parametrize("p_d", P_D)
def test_looking_after_every_trial_gives_at_most_5_percent_false_alarms(guess, p_d):
    lines = EveryMorning(guess, p_d).lines(MOST)
    assert 0.02 < outcomes(lines, guess).shown[-1] <= 0.05


@pytest.mark.parametrize("guess", GUESSES)
def test_nor_does_ignoring_the_second_line(guess):
    lines = EveryMorning(guess).lines(MOST)
    alone = outcomes(shown_alone(lines), guess)
    assert alone.shown[-1] <= 0.05
    if guess < 0.5:
        assert alone.shown[59] == pytest.approx(0.030, abs=0.0005)
        assert alone.shown[-1] == pytest.approx(0.0385, abs=0.0001)


@pytest.mark.parametrize("guess", GUESSES)
@pytest.mark.parametrize("p_d", P_D)
def test_a_difference_that_matters_passes_for_close_enough_in_at_most_10_percent(guess, p_d):
    rule = EveryMorning(guess, p_d)
    lines = rule.lines(MOST)
    blind_to_shown = Lines(lines.bands[1:])
    assert 0.02 < outcomes(blind_to_shown, rule.p1).close[-1] <= 0.10
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
    naive = outcomes(two_lines(shown, (-1,) * 200), 1 / 3).shown
    assert [round(naive[n - 1], 2) for n in (30, 60, 200)] == [0.15, 0.19, 0.26]


@pytest.mark.parametrize(
    ("p_c", "shown", "trials"), [(0.6048069, 0.947, 23), (0.7814276, 1.0, 9)], ids=["d'2", "d'3"]
)
def test_power_of_looking_every_morning_within_60_triangles(p_c, shown, trials):
    lines = EveryMorning(1 / 3).lines(60)
    found = outcomes(shown_alone(lines), p_c)
    assert found.shown[-1] == pytest.approx(shown, abs=0.0005)
    assert round(found.mean_trials) == trials


@pytest.mark.parametrize("guess", GUESSES)
@pytest.mark.parametrize("p_d", P_D)
def test_fault_1_looking_both_ways_every_morning_keeps_every_bound(guess, p_d):
    rule = EveryMorning(guess, p_d, both_ways=True)
    lines = rule.lines(MOST)
    nothing, named, other = (
        outcomes(lines, share) for share in (guess, rule.p1, rule.p1_other_way)
    )
    assert 0.01 < nothing.shown[-1] <= 0.05
    assert 0 < nothing.other_way[-1] < nothing.shown[-1]
    assert max(named.close[-1], other.close[-1]) <= 0.10
    assert max(named.other_way[-1], other.shown[-1] - other.other_way[-1]) < 0.01
    # Without the lines of difference, the mirrors alone hold too.
    mirrors = Lines(tuple(band for band in lines.bands if band.end == "close enough"))
    assert max(outcomes(mirrors, p).close[-1] for p in (rule.p1, rule.p1_other_way)) <= 0.10


@pytest.mark.parametrize("guess", GUESSES)
@pytest.mark.parametrize("p_d", STEP_BY_STEP_P_D)
def test_fault_1_four_lines_step_by_step_keep_both_risks(guess, p_d):
    rule = StepByStep(guess, p_d, both_ways=True)
    lines = rule.lines(MOST)
    assert 0.02 < outcomes(lines, guess).shown[-1] <= rule.alpha
    for share in (rule.p1, rule.p1_other_way):
        assert outcomes(lines, share).close[-1] <= rule.beta


@pytest.mark.parametrize("guess", GUESSES)
@pytest.mark.parametrize("p_d", [0.2, 0.3, 0.4])
@pytest.mark.parametrize("both_ways", [False, True])
def test_a_fixed_number_keeps_both_risks_with_a_size_set_beforehand(guess, p_d, both_ways):
    for n in range(6, 121):
        rule = FixedNumber(guess, n, p_d=p_d, both_ways=both_ways)
        lines = rule.lines(n)
        assert outcomes(lines, guess).shown[-1] <= 0.05
        assert outcomes(lines, guess + p_d * (1 - guess)).close[-1] <= 0.10
        if both_ways:
            assert outcomes(lines, guess * (1 - p_d)).close[-1] <= 0.10


@pytest.mark.parametrize("guess", GUESSES)
def test_fault_9_the_range_of_a_stopped_test_covers_at_any_stop(guess):
    """{p: evidence against p under 20}, ever left within 500 trials: no more than 1 in 20."""
    for truth in (guess, 0.6, 0.75, 0.9):
        rule = EveryMorning(truth, both_ways=True)
        ever = outcomes(Lines(rule.lines(500).bands[:2]), truth).shown[-1]
        assert 0.01 < ever <= 0.05
        low, high = interval(3, 12)
        assert (low < truth < high) == (
            rule.lines(12).shown[11] > 3 > rule.lines(12).bands[1].high[11]
        )
