"""The bounds of the marks: published ones, and the chance of ever crossing them."""

import numpy as np
import pytest
from scipy.stats import norm

from app.sensory.scores.marks import ALLOWED, SPENT_BY, bounds


def test_one_look_is_the_usual_bound():
    assert bounds((1.0,), (0.05,)) == pytest.approx((norm.isf(0.025),))


def test_five_equal_bounds_are_those_of_pocock():
    """Pocock 1977, Biometrika 64:191: 2.413 at each of five looks keeps .05; from memory."""
    looks = tuple(range(1, 6))
    spent = np.array([0.0])
    rng = np.random.default_rng(1)
    walks = np.abs(rng.normal(size=(400_000, 5)).cumsum(axis=1) / np.sqrt(looks))
    crossed = np.maximum.accumulate(walks > 2.413, axis=1).mean(axis=0)
    spent = (*crossed[:4].tolist(), 0.05)
    assert bounds(tuple(map(float, looks)), spent) == pytest.approx([2.413] * 5, abs=0.02)


def test_the_chance_of_ever_crossing_is_what_was_allowed():
    looks = (10.0, 20.0, 40.0, 60.0)
    information = tuple(n**3 for n in looks)
    spent = (*(SPENT_BY[int(n)] for n in looks[:3]), ALLOWED)
    steps = np.sqrt(np.diff((0.0, *information)))
    walks = (np.random.default_rng(2).normal(size=(200_000, 4)) * steps).cumsum(axis=1)
    beyond = np.abs(walks / np.sqrt(information)) > bounds(information, spent)
    for look, allowed in enumerate(spent):
        assert beyond[:, : look + 1].any(axis=1).mean() == pytest.approx(allowed, abs=0.002)


def test_no_look_no_bound():
    assert bounds((), ()) == ()
