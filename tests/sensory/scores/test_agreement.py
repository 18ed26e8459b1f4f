"""How far two tasters agree, against statsmodels' weighted kappa and by hand."""

import numpy as np
import pytest
from statsmodels.stats.inter_rater import cohens_kappa

from app.sensory.scores.agreement import LEAST_CUPS, LEAST_DAYS, Both, agreement, weighted_kappa


def drawn(seed, cups=60, own=0.8, days=None):
    """Whole scores of two tasters, who share what the cup is and each add a noise of their own."""
    rng = np.random.default_rng(seed)
    common = rng.normal(6, 1.2, cups)
    first, second = (np.clip(np.round(common + rng.normal(0, own, cups)), 1, 9) for _ in range(2))
    days = range(cups) if days is None else days
    return [Both(day, *pair) for day, *pair in zip(days, first, second, strict=True)]


@pytest.mark.parametrize("seed", range(6))
def test_kappa_is_that_of_statsmodels(seed):
    cups = drawn(seed)
    table = np.zeros((9, 9))
    for _, first, second in cups:
        table[int(first) - 1, int(second) - 1] += 1
    reference = cohens_kappa(table, wt="quadratic")
    assert weighted_kappa(cups) == pytest.approx(reference.kappa, abs=1e-9)
    found = agreement(cups)
    # Their range is symmetric and takes cups as independent; here every cup has a day of its own.
    assert found.high - found.low == pytest.approx(
        reference.kappa_upp - reference.kappa_low, rel=0.35
    )
    assert found.low < found.kappa < found.high


def test_kappa_is_lins_concordance_by_hand():
    """Means 6 and 16/3, variances 8/3 and 8/9, mean squared difference 4/3."""
    cups = [Both(1, 4, 4), Both(2, 6, 6), Both(3, 8, 6)]
    assert weighted_kappa(cups) == pytest.approx(1 - (4 / 3) / (8 / 3 + 8 / 9 + 4 / 9))


def test_the_same_scores_agree_wholly_and_opposite_ones_not_at_all():
    same = [Both(day, 4 + day % 5, 4 + day % 5) for day in range(30)]
    found = agreement(same)
    assert (found.kappa, found.near, found.apart.difference) == (1, 1, 0)
    assert found.low > 0.99
    opposite = [Both(day, 4 + day % 5, 8 - day % 5) for day in range(30)]
    assert agreement(opposite).kappa == pytest.approx(-1)


def test_who_gives_a_point_more_is_told():
    found = agreement([Both(day, 6 + day % 3, 5 + day % 3) for day in range(12)])
    assert (found.apart.difference, found.near) == (1, 1)
    assert found.apart.higher == "A"


def test_cups_of_one_day_are_not_cups_of_their_own():
    alone = drawn(3, cups=12)
    apart = [cup._replace(day=cup.day + 12 * again) for again in range(5) for cup in alone]
    together = [cup for _ in range(5) for cup in alone]
    assert agreement(together).kappa == pytest.approx(agreement(apart).kappa)
    wide, narrow = (found.high - found.low for found in (agreement(together), agreement(apart)))
    assert wide > 1.7 * narrow


@pytest.mark.parametrize(("cups", "days"), [(LEAST_CUPS - 1, 19), (40, LEAST_DAYS - 1)])
def test_too_few_cups_or_days_have_no_kappa(cups, days):
    found = agreement(drawn(1, cups, days=[n % days for n in range(cups)]))
    assert (found.cups, found.days, found.kappa, found.low) == (cups, days, None, None)
    assert 0 < found.near <= 1


def test_without_cups_or_without_differences_there_is_nothing_to_agree_on():
    assert agreement([]) is None
    found = agreement([Both(day, 6, 6) for day in range(30)])
    assert (found.kappa, found.near) == (None, 1)
