"""How many trials a fixed number takes, held against the binomial and a published number."""

import pytest
from scipy.stats import binom

from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.planning import trials_for
from app.sensory.blind.power import to_call_close, to_find
from app.sensory.blind.sequential import EveryMorning


def test_fault_16_first_and_stable_number_of_triangles():
    # g 1/3, p1 .5, alpha .05, beta .20: first 58, stable 60 (the R package sensR's two criteria)
    assert to_find(1 / 3, 0.25) == (58, 60)


def powers(guess, p_d, both_ways, most):
    """Chance of being shown, and of ending close enough without a difference, by n."""
    found, close = {}, {}
    for n in range(8, most):
        rule = FixedNumber(guess, n, p_d=p_d, both_ways=both_ways)
        found[n] = binom.sf(rule.needed - 1, n, guess + p_d * (1 - guess))
        low, high = rule.close or (0, -1)
        close[n] = binom.cdf(high, n, guess) - binom.cdf(low - 1, n, guess) if rule.close else 0.0
    return found, close


@pytest.mark.parametrize("both_ways", [False, True])
@pytest.mark.parametrize(("guess", "p_d"), [(1 / 3, 0.4), (0.5, 0.4), (0.5, 0.5)])
def test_numbers_needed_agree_with_the_rule_itself(guess, p_d, both_ways):
    found, close = powers(guess, p_d, both_ways, 90)
    for needed, power in (
        (to_find(guess, p_d, both_ways=both_ways, most=300), found),
        (to_call_close(guess, p_d, both_ways=both_ways, most=300), close),
    ):
        assert power[needed.first] >= 0.80 - 1e-12
        assert all(power[n] < 0.80 for n in power if n < needed.first)
        assert all(power[n] >= 0.80 for n in power if n >= needed.stable)
        if needed.stable > needed.first:
            assert power[needed.stable - 1] < 0.80


def test_fault_16_23_is_no_number_that_has_to_be():
    found, _ = powers(1 / 3, 0.4, False, 30)
    assert found[23] >= 0.80 > found[24]
    assert found[24] == pytest.approx(0.787, abs=5e-4)
    assert trials_for(EveryMorning(1 / 3, 0.4), 0.4).startswith(
        "A fixed number of trials finds a difference of that size 80 times in 100 from 25 on (23 "
        "reach it too, but not all numbers in between), and without one ends close enough"
    )


def test_sizes_that_take_too_many():
    assert to_find(1 / 3, 0.02) is None
    assert to_call_close(1 / 3, 0.02) is None
    assert "more than 1000 trials" in trials_for(EveryMorning(1 / 3, 0.02), 0.02)
