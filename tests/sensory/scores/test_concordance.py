"""Kendall's W and Friedman's tail, against published tables, scipy, and orders drawn by lot."""

from __future__ import annotations

import random

import pytest
from scipy import stats

from app.sensory.scores.concordance import concordance, mid_ranks

SAME = [1.0, 2.0, 3.0]


def test_three_tasters_of_one_order_for_three_cups() -> None:
    """Friedman 1937, table of exact chances (from memory): n 3, k 3, 6.000: .028."""
    found = concordance([SAME] * 3)
    assert found
    assert (found.w, round(found.chance, 3)) == (1.0, 0.028)


def test_friedmans_table_for_four_tasters_and_three_cups() -> None:
    """From memory: n 4, k 3: 8.0 has .0046, 6.5 has .042, 6.0 has .069."""
    chances = {
        8.0: [SAME] * 4,
        6.5: [SAME, SAME, SAME, [1.0, 3.0, 2.0]],
        6.0: [SAME, SAME, [1.0, 3.0, 2.0], [1.0, 3.0, 2.0]],
    }
    found = {at: concordance(scores) for at, scores in chances.items()}
    for at, one in found.items():
        assert one
        assert 4 * 2 * one.w == pytest.approx(at)
    assert [round(one.chance, 3) for one in found.values() if one] == [0.005, 0.042, 0.069]


@pytest.mark.parametrize("seed", range(6))
def test_the_statistic_with_ties_is_that_of_scipy(seed: int) -> None:
    lot = random.Random(seed)
    scores = [[float(lot.randint(1, 9)) for _ in range(8)] for _ in range(4)]
    found = concordance(scores)
    theirs = stats.friedmanchisquare(*zip(*scores, strict=True))
    assert found
    assert found.w == pytest.approx(theirs.statistic / (4 * 7))
    assert found.chance == pytest.approx(theirs.pvalue)


@pytest.mark.parametrize("cups", [3, 5, 7])
def test_orders_drawn_by_lot_are_called_one_order_in_1_of_20_at_the_most(cups: int) -> None:
    """Whole-number scores with many ties, 3 tasters; the chance is exact up to six cups."""
    lot = random.Random(cups)
    drawn = [
        concordance([[float(lot.randint(3, 7)) for _ in range(cups)] for _ in range(3)])
        for _ in range(600)
    ]
    called = [one for one in drawn if one and one.chance <= 0.05]
    assert len(called) / len(drawn) <= 0.065


def test_too_few_say_nothing() -> None:
    assert concordance([SAME] * 2) is None
    assert concordance([[1.0, 2.0]] * 3) is None
    assert concordance([SAME, SAME, [5.0] * 3]) is None
    with pytest.raises(ValueError, match="each cup"):
        concordance([SAME, SAME, [1.0]])


def test_equal_scores_share_their_ranks() -> None:
    assert mid_ranks([6.0, 4.0, 6.0, 9.0]) == [2.5, 1.0, 2.5, 4.0]
