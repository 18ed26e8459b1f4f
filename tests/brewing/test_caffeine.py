"""Caffeine as a range, and the limits it is held against."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.brewing import caffeine
from app.brewing.plans.compare import expect
from app.brewing.ranged import Ranged
from app.brewing.strength.cup import Cup


def test_published_value(case):
    """Supports the order of magnitude only: the strength of the published brew is not stated."""
    found = getattr(caffeine, case["call"])(**case["inputs"])
    assert found.low <= case["expected"] <= found.high
    assert found.value == pytest.approx(case["expected"], abs=case["tolerance"], rel=0)


@given(st.floats(0.1, 100), st.floats(0, 100), st.booleans(), st.floats(0, 1))
def test_the_range_holds_the_value(dose_g, robusta_pct, decaf, low):
    reached = Ranged((1 + low) / 2, low, 1)
    mg = caffeine.caffeine_mg(dose_g, Ranged(0.9, 0.85, 0.95), robusta_pct, decaf, reached)
    assert 0 <= mg.low <= mg.value <= mg.high <= 1000 * dose_g * 0.025


def test_robusta_has_more_and_decaf_little():
    plain, robusta, decaf = (
        caffeine.caffeine_mg(15, robusta_pct=pct, decaf=flag).value
        for pct, flag in ((0, False), (100, False), (50, True))
    )
    assert robusta > 1.5 * plain
    assert decaf < 0.1 * plain


def test_half_is_left_after_a_half_life():
    cup = Ranged(100, 80, 120)
    now, later = caffeine.left_mg([(0, cup)]), caffeine.left_mg([(5, cup)])
    assert (now.value, now.low, now.high) == (100, 80, 120)
    assert later.value == pytest.approx(50)
    assert caffeine.left_mg([(1.5, cup)]).low == pytest.approx(40)
    assert caffeine.left_mg([(9.5, cup)]).high == pytest.approx(60)


@given(st.lists(st.tuples(st.floats(0, 48), st.floats(1, 300)), max_size=8))
def test_cups_add_up_and_only_fade(drunk):
    cups = [(hours, Ranged(mg, mg * 0.8, mg * 1.2)) for hours, mg in drunk]
    now = caffeine.left_mg(cups)
    later = caffeine.left_mg([(hours + 1, mg) for hours, mg in cups])
    one_by_one = sum(caffeine.left_mg([cup]).value for cup in cups)
    assert now.value == pytest.approx(one_by_one, rel=1e-9)
    assert later.value <= now.value
    assert now.low <= now.value <= now.high


@pytest.mark.parametrize(
    ("cups", "pregnant", "sentences"),
    [
        ([], False, 0),
        ([Ranged(100, 80, 120)], False, 0),
        ([Ranged(100, 80, 120)] * 2, False, 0),
        ([Ranged(100, 80, 120)] * 2, True, 1),
        ([Ranged(150, 120, 180)] * 3, False, 1),
        ([Ranged(180, 150, 210)], False, 1),
        ([Ranged(180, 150, 210)], True, 2),
    ],
)
def test_a_limit_is_named_when_the_high_end_may_pass_it(cups, pregnant, sentences):
    """EFSA 2015: 200 mg at a time, 400 a day, 200 a day while pregnant or nursing."""
    said = caffeine.cautions(cups, pregnant)
    assert len(said) == sentences + 1
    assert said[-1] == caffeine.NOT_ADVICE


def test_certain_and_possible_excess_read_differently():
    assert "may be above" in caffeine.cautions([Ranged(390, 300, 450)])[0]
    assert "is above" in caffeine.cautions([Ranged(390, 300, 450)] * 2)[0]


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: caffeine.caffeine_mg(-1), "Dose must be between"),
        (lambda: caffeine.caffeine_mg(15, robusta_pct=120), "Share of robusta must be"),
        (lambda: caffeine.caffeine_mg(15, Ranged(2, 1, 1)), "Share in the cup must be"),
        (lambda: caffeine.left_mg([(-1, Ranged(1, 1, 1))]), "Hours since the cup must be"),
    ],
)
def test_what_cannot_be_gets_a_sentence(call, sentence):
    with pytest.raises(ValueError, match=sentence):
        call()


def test_several_cups_add_up_end_by_end():
    both = caffeine.together([Ranged(100, 80, 130), Ranged(50, 40, 65)])
    assert (both.value, both.low, both.high) == (150, 120, 195)
    assert caffeine.together([]) == Ranged(0, 0, 0)


def test_fault_13_expecting_lengthens_the_half_life_and_not_only_the_limit():
    """8.3 h (3 to 16) in pregnancy, 10.5 h in the last four weeks: Institute of Medicine 2001 and
    reviews, secondary. 200 mg after 8 h: 66 at 5 h, 103 at 8.3 h, 118 at 10.5 h."""
    cup = [(8.0, Ranged(200, 200, 200))]
    usual, expecting, last = (
        caffeine.left_mg(cup, half_life)
        for half_life in (
            caffeine.HALF_LIFE_H, caffeine.EXPECTING_HALF_LIFE_H, caffeine.LAST_WEEKS_HALF_LIFE_H
        )
    )  # fmt: skip
    assert usual.value == pytest.approx(66, abs=0.5)
    assert expecting.value == pytest.approx(102.5, abs=0.5)
    assert last.value == pytest.approx(118, abs=0.5)
    assert expecting.high > 140
    assert last.high > 145


def test_a_short_steep_lowers_the_middle_too():
    short, full = (
        expect(Cup("immersion", 15, 250, water_temp_c=93, steep_s=at, stirs=2)).caffeine_mg
        for at in (10, 600)
    )
    assert short.value < 0.85 * full.value
    assert short.low < short.value < short.high
    assert short.high == pytest.approx(full.high, rel=0.01)
