import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import binom, fisher_exact, norm

from app.sensory.blind.control import (
    Compared,
    control_power,
    control_promise,
    controls_needed,
    fisher_p,
    right_by_luck,
)
from app.sensory.blind.discrimination import correct_at


@pytest.mark.parametrize("seed", range(10))
def test_p_agrees_with_scipy(seed):
    rng = np.random.default_rng(seed)
    n, controls = rng.integers(1, 40, 2).tolist()
    right, control_right = rng.integers(0, n + 1), rng.integers(0, controls + 1)
    table = [[right, n - right], [control_right, controls - control_right]]
    reference = fisher_exact(table, alternative="greater").pvalue
    assert fisher_p(int(right), n, int(control_right), controls) == pytest.approx(reference)


def test_p_of_the_lady_tasting_tea():
    # Fisher 1935, The Design of Experiments, chapter II: all eight cups right, 1 in 70
    assert fisher_p(4, 4, 0, 4) == pytest.approx(1 / 70)


def test_what_was_counted_stands_first_and_then_what_it_is_enough_for():
    shown = Compared(18, 20, 9, 20, (20, 20))
    assert shown.state == "shown"
    assert shown.sentence == (
        "18 of 20 right with A against B, 9 of 20 where every cup was A. That is more than brews "
        "of one recipe bring about, and enough to say that these two ways of brewing can be told "
        "apart."
    )
    assert shown.sums == "Fisher’s exact test, one-sided: p 0.0029."
    short = Compared(10, 20, 9, 20, (20, 20))
    assert short.state == "undecided"
    assert "nothing is shown, and they may yet differ" in short.sentence


def test_nothing_is_said_before_both_numbers_are_in():
    for read in (Compared(19, 19, 0, 20, (20, 20)), Compared(20, 20, 0, 19, (20, 20))):
        assert read.state == "open"
        assert "It is read once all 20 and 20 of A against A are answered." in read.sentence
        assert read.sums == ""


def test_numbers_that_an_older_plan_did_not_fix_are_said_to_be_so():
    assert "was not fixed beforehand" in Compared(18, 20, 3, 9, (20, 0)).sums
    alone = Compared(18, 20, 0, 0, (20, None))
    assert (alone.state, alone.sums) == ("open", "")
    assert "this plan can show nothing" in alone.sentence


@pytest.mark.parametrize(("n", "controls"), [(6, 6), (18, 9), (18, 18), (12, 30)])
def test_power_is_the_sum_over_all_counts(n, controls):
    for real, control in ((1 / 3, 1 / 3), (0.8, 0.46), (0.6, 0.5)):
        found = sum(
            binom.pmf(x, n, real) * binom.pmf(y, controls, control)
            for x in range(n + 1)
            for y in range(controls + 1)
            if fisher_exact([[x, n - x], [y, controls - y]], alternative="greater").pvalue
            <= 0.05 + 1e-9
        )
        assert control_power(n, controls, real, control) == pytest.approx(found, abs=1e-9)


@pytest.mark.parametrize(("n", "controls"), [(18, 18), (30, 15), (60, 60)])
def test_false_alarms_stay_under_5_in_100_whatever_brews_alone_give_away(n, controls):
    shares = np.linspace(0.01, 0.99, 99)
    assert max(control_power(n, controls, share, share) for share in shares) <= 0.05


def test_eighteen_trials_with_nine_controls_find_a_large_difference_in_a_third_of_tests():
    # Measured on lattices independent of this code: .23 to .37 for 18 trials, .80 against .46.
    assert control_power(18, 9, 0.80, 0.46) == pytest.approx(0.37, abs=0.005)


@pytest.mark.parametrize("method", ["triangle", "tetrad", "duo-trio"])
def test_right_by_luck_is_the_mean_over_two_brews_of_one_recipe(method):
    # Brews of one recipe differ by N(0, sqrt 2) in units of perceptual noise.
    right = quad(lambda d: norm.pdf(d, 0, 2**0.5) * correct_at(method, abs(d)), -12, 12)[0]
    assert right_by_luck(method) == pytest.approx(right, abs=1e-4)
    if method == "triangle":
        assert right == pytest.approx(0.46, abs=0.005)


def test_right_by_luck_of_the_strongest_of_three_is_what_a_simulation_finds():
    rng = np.random.default_rng(4)
    brews, tasting = rng.normal(size=(200_000, 2)), rng.normal(size=(200_000, 3))
    cups = brews[:, [0, 0, 1]] + tasting
    assert right_by_luck("three-cup") == pytest.approx(
        float((cups.argmax(axis=1) == 2).mean()), abs=0.004
    )


def test_the_promise_names_both_ends():
    said = control_promise("triangle", 30, 30, 0.4)
    assert "found 56 times in 100 where brews of one recipe give nothing away (33 % right" in said
    assert "40 times in 100 where they vary as much as your tasting does (46 % right)" in said


def test_so_few_controls_that_nothing_could_be_shown():
    for n in (6, 18, 60):
        needed = controls_needed(n, 200)
        assert fisher_p(n, n, 0, needed) <= 0.05 < fisher_p(n, n, 0, needed - 1)
