"""The runs of an experiment, and what it can resolve."""

import random
from collections import Counter
from math import sqrt

import numpy as np
import pytest
from scipy import stats

from app.sensory.scores.design import MOST_LEAN, Design, Factor, lean, resolves, schedule

DESIGNS = [Design(2, 2, 2), Design(2, 3, 3), Design(3, 1, 4), Design(3, 2, 4)]


def test_a_factor_is_coded_and_back():
    steep = Factor("steep_s", 60, 240)
    assert [steep.coded(value) for value in (60, 150, 240)] == [-1, 0, 1]
    assert [steep.plain(level) for level in (-1, 0, 1)] == [60, 150, 240]


@pytest.mark.parametrize("design", DESIGNS)
def test_every_corner_is_brewed_as_often_and_the_middle_again_and_again(design):
    rows = Counter(run.levels for run in schedule(design, random.Random(1)))
    middle = (0,) * design.factors
    assert rows.pop(middle) == design.centres
    assert set(rows.values()) == {design.rounds}
    assert len(rows) == 2**design.factors


@pytest.mark.parametrize("design", DESIGNS)
def test_each_block_has_every_setting_low_as_often_as_high_and_so_have_two_together(design):
    for seed in range(20):
        runs = schedule(design, random.Random(seed))
        assert [run.block for run in runs] == sorted(run.block for run in runs)
        for block in {run.block for run in runs}:
            x = np.array([run.levels for run in runs if run.block == block])
            assert not x.sum(axis=0).any()
            assert not np.triu(x.T @ x, 1).any()


@pytest.mark.parametrize("design", DESIGNS)
def test_no_factor_leans_to_the_early_or_the_late_brews(design):
    for seed in range(50):
        levels = np.array([run.levels for run in schedule(design, random.Random(seed))], float)
        place = np.arange(len(levels))
        found = [abs(np.corrcoef(place, column)[0, 1]) for column in levels.T]
        assert max(found) <= MOST_LEAN + 1e-9
        assert max(found) <= lean(levels.tolist()) + 1e-9


def test_the_order_is_drawn_by_lot():
    design = Design(2, 2, 2)
    firsts = Counter(schedule(design, random.Random(n))[0].levels for n in range(1200))
    corners = [many for levels, many in firsts.items() if any(levels)]
    assert len(corners) == 4
    assert stats.chisquare(corners).pvalue > 1e-4
    assert schedule(design, random.Random(7)) == schedule(design, random.Random(7))


@pytest.mark.parametrize(
    ("factors", "rounds", "centres"), [(1, 2, 2), (4, 1, 2), (2, 0, 2), (2, 1, 0)]
)
def test_designs_that_make_no_sense_are_refused(factors, rounds, centres):
    with pytest.raises(ValueError, match=r"two or three|at least once"):
        Design(factors, rounds, centres)


def test_what_it_resolves_is_the_power_of_a_t_test_that_looks_at_all_effects():
    design = Design(2, 2, 2)
    points = resolves(design, 0.8)
    beyond = stats.t.ppf(1 - 0.02 / 4, 5)
    assert stats.nct.sf(beyond, 5, points / (2 * 0.8 / sqrt(8))) == pytest.approx(0.8, abs=1e-6)


def test_half_a_point_is_not_resolved_by_32_brews_at_a_spread_of_0_8():
    assert resolves(Design(2, 7, 4), 0.8) > 0.5
    assert resolves(Design(2, 1, 2), 0.8) is None
    assert resolves(Design(2, 4, 4), 0.8) < resolves(Design(2, 2, 2), 0.8)
