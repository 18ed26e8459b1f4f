"""Effects of an experiment: a textbook's, least squares as others do it, what cannot be told."""

import random
from itertools import product
from math import sqrt

import numpy as np
import pytest
import statsmodels.api as sm
from scipy import stats

from app.sensory.scores.design import Design, schedule
from app.sensory.scores.effects import Tried, fit_effects

# Box, Hunter & Hunter, Statistics for Experimenters: the pilot plant, a 2x2x2 factorial of
# temperature (160, 180), concentration (20, 40) and catalyst (A, B) with two runs at each corner;
# means, effects and the standard error of an effect as printed. From memory.
MEANS = (60, 72, 54, 68, 52, 83, 45, 80)
RUNS = ((59, 61), (74, 70), (50, 58), (69, 67), (50, 54), (81, 85), (46, 44), (79, 81))
PRINTED = {(0,): 23.0, (1,): -5.0, (2,): 1.5, (0, 1): 1.5, (0, 2): 10.0, (1, 2): 0.0}
PRINTED_ERROR = 1.4


def pilot_plant(scores):
    corners = [(t, c, k) for k, c, t in product((-1, 1), repeat=3)]
    return [
        Tried(corner, float(score), 0.0)
        for corner, both in zip(corners, scores, strict=True)
        for score in both
    ]


def test_the_pilot_plant_comes_out_as_printed():
    found = fit_effects(pilot_plant(RUNS))
    assert [sum(both) / 2 for both in RUNS] == list(MEANS)
    for term, printed in PRINTED.items():
        effect = found.of(*term)
        assert round(effect.points, 1) == printed
    # Printed from the repeats alone, 8 degrees of freedom; here the product of all three, printed
    # as .5, is in the spread as well: a sum of squares of 16 x .25 x .25.
    of_repeats = (found.sd**2 * found.df - 1) / 8
    assert found.df == 9
    assert round(2 * sqrt(of_repeats / 16), 1) == PRINTED_ERROR
    assert {one.factors for one in found.effects if one.found} == {(0,), (1,), (0, 2)}
    assert found.untold == ((),)  # no middle was made


@pytest.mark.parametrize("design", [Design(2, 2, 2), Design(3, 2, 4)])
def test_effects_and_ranges_are_those_of_least_squares(design):
    rng, runs = np.random.default_rng(4), schedule(design, random.Random(4))
    x = np.array([run.levels for run in runs], float) + rng.normal(
        0, 0.05, (design.runs, design.factors)
    )
    y = rng.normal(6, 1, design.runs)
    days = np.cumsum(rng.integers(1, 4, design.runs)).astype(float)
    found = fit_effects([Tried(tuple(row), s, d) for row, s, d in zip(x, y, days, strict=True)])
    columns = [np.prod(x[:, list(e.factors)], axis=1) if e.factors else (x**2).mean(axis=1)
               for e in found.effects]  # fmt: skip
    drift = [days] if found.drift is not None else []
    fit = sm.OLS(y, sm.add_constant(np.column_stack([*columns, *drift]))).fit()
    assert found.df == fit.df_resid
    for n, effect in enumerate(found.effects, 1):
        scale = 2 if effect.factors else -1
        assert effect.points == pytest.approx(scale * fit.params[n])
        assert effect.error == pytest.approx(2 * fit.bse[n] if effect.factors else fit.bse[n])
        ends = sorted(scale * fit.conf_int()[n])
        assert (effect.low, effect.high) == pytest.approx(ends)
        p = fit.pvalues[n]
        assert effect.found == (p * len(found.effects) < 0.04)
    if drift:
        assert found.drift == pytest.approx(fit.params[-1] * (days[-1] - days[0]))


def test_equal_repeats_still_leave_a_spread():
    """Whole points hide a spread of a third of a point."""
    runs = schedule(Design(2, 2, 2), random.Random(1))
    found = fit_effects([Tried(run.levels, 6.0, n) for n, run in enumerate(runs)])
    assert found.sd == pytest.approx(1 / 3)
    assert not any(one.found for one in found.effects)


def test_what_falls_together_is_left_out_by_the_settings_alone():
    together = [(-1, -1), (1, 1), (-1, -1), (1, 1), (-1, -1), (1, 1), (0, 0), (0, 0)]
    found = fit_effects([Tried(row, 5 + n % 3, n) for n, row in enumerate(together)])
    assert [one.factors for one in found.effects] == [(0,), ()]
    assert found.untold == ((1,), (0, 1))


def test_too_few_brews_say_nothing():
    runs = schedule(Design(2, 2, 2), random.Random(1))
    tried = [Tried(run.levels, 6.0, n) for n, run in enumerate(runs)]
    assert fit_effects(tried[:5]) is None
    assert fit_effects([tried[0]] * 8) is None
    assert fit_effects(tried[:6]) is None or fit_effects(tried[:6]).df >= 2


def test_a_steady_drift_is_taken_out_where_enough_brews_are_left():
    runs = schedule(Design(2, 3, 3), random.Random(3))
    tried = [Tried(run.levels, 6 + run.levels[0] - 0.2 * n, n) for n, run in enumerate(runs)]
    found = fit_effects(tried)
    assert found.drift == pytest.approx(-0.2 * 14)
    assert found.of(0).points == pytest.approx(2)
    assert fit_effects(tried[:9]) is None or fit_effects(tried[:9]).drift is None


def test_least_is_where_an_effect_is_found():
    runs = schedule(Design(2, 2, 2), random.Random(1))
    rng = np.random.default_rng(2)
    found = fit_effects([Tried(run.levels, rng.normal(6, 1), n) for n, run in enumerate(runs)])
    beyond = stats.t.ppf(1 - 0.02 / len(found.effects), found.df)
    assert found.least == pytest.approx(beyond * max(found.of(n).error for n in (0, 1)))
