"""The steep against the published table and against an independent solution of all three equations.

Supports that our solver is right; says nothing of whether the model fits a given kitchen.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from app.brewing.bounds import GRINDS
from app.brewing.strength import kinetics


def test_published_value(case):
    found = getattr(kinetics, case["call"])(**case["inputs"])
    assert found == pytest.approx(case["expected"], abs=case["tolerance"], rel=0)


@pytest.mark.parametrize("grind", sorted(kinetics.PUBLISHED))
def test_own_solver_agrees_with_scipy(grind):
    e, b1, b2, g, t_d = kinetics.PUBLISHED[grind]

    def slope(_, state):
        h, v, s = state
        return (-b2 * h * s + b2 / b1 * s / e - e * b1 * h + v, e * b1 * h - v, b1 * h * s - s / e)

    seconds = np.array([0.5, 2, 5, 11, 33, 35.5, 90, 200, 575, 580, 900, 1500])
    solved = solve_ivp(
        slope, (0, 1600 / t_d), (0, g, 1), "LSODA", seconds / t_d, rtol=1e-11, atol=1e-12
    )
    final = (b1 * g + b2) / (b1 * (1 + b1 * e))
    own = [kinetics.fraction(grind, float(second)) for second in seconds]
    assert own == pytest.approx(list(solved.y[0] / final), abs=2e-6)


@given(st.sampled_from(GRINDS), st.floats(0, 172800), st.floats(0, 172800))
def test_more_time_never_gives_less(grind, one, other):
    early, late = sorted((one, other))
    assert 0 <= kinetics.fraction(grind, early) <= kinetics.fraction(grind, late) + 1e-12
    assert kinetics.fraction(grind, late) <= 1 + 1e-12


@given(st.floats(0.1, 172800))
def test_finer_is_never_slower(steep_s):
    shares = [kinetics.fraction(grind, steep_s) for grind in GRINDS]
    assert shares == sorted(shares, reverse=True)


@given(st.sampled_from(GRINDS), st.floats(0, 172800))
def test_the_range_holds_the_value(grind, steep_s):
    low, high = kinetics.fraction_range(grind, steep_s)
    assert 0 <= low <= kinetics.fraction(grind, steep_s) + 1e-12
    assert kinetics.fraction(grind, steep_s) <= high + 1e-12 <= 1 + 1e-12


def test_the_range_is_made_of_the_neighbours():
    low, high = kinetics.fraction_range("medium", 60)
    assert low == pytest.approx(kinetics.fraction("medium-coarse", 60))
    assert high == pytest.approx(kinetics.fraction("medium-fine", 60))


def test_the_curve_has_no_step_where_the_exact_tail_takes_over():
    for grind, (e, *_, t_d) in kinetics.PUBLISHED.items():
        joint = 30 * e * t_d
        around = [kinetics.published_fraction(grind, joint + dt) for dt in (-1e-6, 0, 1e-6)]
        assert around[0] == pytest.approx(around[1], abs=1e-8)
        assert around[2] == pytest.approx(around[1], abs=1e-8)


def test_a_steep_of_no_time_gives_nothing():
    assert kinetics.fraction("fine", 0) == 0


def test_unknown_words_and_times_are_refused():
    with pytest.raises(ValueError, match="Grind must be one of: fine, medium-fine"):
        kinetics.fraction("powder", 60)
    with pytest.raises(ValueError, match="Steep time must be between 0 and 172800 s"):
        kinetics.fraction("fine", -1)


@pytest.mark.parametrize("grind", GRINDS)
def test_the_time_to_a_share_is_the_curve_read_backwards(grind):
    for steep_s in (0.5, 3, 20, 60, 120, 240, 600, 900):
        share = kinetics.fraction(grind, steep_s)
        assert kinetics.seconds_to(grind, share) == pytest.approx(steep_s, abs=0.05)
    assert kinetics.seconds_to(grind, 0.0) == 0.0
    assert kinetics.seconds_to(grind, 1.01) is None
