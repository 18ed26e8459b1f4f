"""Misses of predictions, against sums done by hand."""

import pytest

from app.brewing.ranged import Ranged
from app.brewing.strength.measured import misses


def test_misses_and_ranges_are_counted():
    found = misses(
        [
            (1.00, Ranged(1.20, 1.10, 1.30), Ranged(1.05, 0.95, 1.15)),
            (1.30, Ranged(1.20, 1.10, 1.30), Ranged(1.30, 1.20, 1.40)),
            (0.90, Ranged(1.20, 1.10, 1.30), Ranged(1.05, 0.95, 1.15)),
        ]
    )
    assert found.n == 3
    assert found.plain == pytest.approx((0.2 + 0.1 + 0.3) / 3)
    assert found.learned == pytest.approx((0.05 + 0.0 + 0.15) / 3)
    assert found.plain_inside == pytest.approx(1 / 3)
    assert found.learned_inside == pytest.approx(2 / 3)


def test_no_brew_is_no_comparison():
    with pytest.raises(ValueError, match="nothing to compare"):
        misses([])
