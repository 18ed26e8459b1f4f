from math import inf

import pytest

from app.sensory.blind.counts import read_counts, read_sureness
from app.sensory.blind.discrimination import d_prime_at
from app.sensory.blind.evalue import evidence, interval
from app.sensory.blind.fixed import FixedNumber


def test_reading_of_12_of_20_triangles():
    found = read_counts("triangle", 12, 20)
    low, high = interval(12, 20)
    assert (found.low, found.high) == (low, high)
    assert not hasattr(found, "p_d")  # fault 9: the raw share of a stopped test is no estimate
    assert found.p_d_low == 0
    assert found.p_d_high == pytest.approx((high - 1 / 3) * 1.5)
    assert found.d_low == 0
    assert found.d_high == d_prime_at("triangle", high)
    assert found.evidence == evidence(12, 20, 1 / 3)
    assert found.to_go == 8


def test_distance_is_a_range_over_the_rules_a_taster_may_follow():
    found = read_counts("triangle", 30, 40)
    assert found.d_low == d_prime_at("three-cup", found.low)
    assert found.d_high == d_prime_at("triangle", found.high)
    paired = read_counts("paired", 30, 40)
    assert paired.d_low == d_prime_at("paired", paired.low)


def test_before_the_first_trial_nothing_is_known():
    found = read_counts("duo-trio", 0, 0)
    assert found.to_go is None
    assert (found.low, found.high, found.p_d_low, found.p_d_high) == (0, 1, 0, 1)
    assert (found.d_low, found.d_high) == (0, inf)
    assert found.evidence == found.evidence_close == pytest.approx(1)


def test_impossible_counts_are_refused():
    with pytest.raises(ValueError, match="between 0"):
        read_counts("triangle", 5, 4)


def test_sureness():
    answers = [(True, True)] * 5 + [(False, True)] + [(True, False)] * 3 + [(False, False)] * 6
    found = read_sureness(answers)
    assert (found.sure_right, found.sure_wrong, found.unsure_right, found.unsure_wrong) == (
        5,
        1,
        3,
        6,
    )
    assert found.sentence == (
        "Sure: 5 of 6 right. Unsure: 3 of 9. "
        "A sure answer can be wrong: feeling sure is no evidence of its own."
    )
    assert read_sureness([]).sentence == "No answer yet."
    assert read_sureness([(True, True)]).sentence == "Sure: 1 of 1 right. Unsure: 0 of 0."


def test_all_in_is_told_whichever_way_round():
    rule = FixedNumber(0.5, 30, p_d=0.4, both_ways=True)
    up, down = (read_counts("paired", count, 30, 0.4, rule).all_in for count in (25, 5))
    assert (up.d_prime, up.error) == (down.d_prime, down.error)
    assert up.d_prime == pytest.approx(d_prime_at("paired", 25 / 30))
    assert down.likelihood == pytest.approx((1 - up.likelihood[1], 1 - up.likelihood[0]))
    assert down.exact == pytest.approx((1 - up.exact[1], 1 - up.exact[0]))
    assert read_counts("paired", 25, 29, 0.4, rule).all_in is None  # one is still to come
    assert read_counts("paired", 24, 30, 0.4, rule, lost=1).all_in is None
