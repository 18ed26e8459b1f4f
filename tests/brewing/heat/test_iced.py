"""Ice and water for a temperature and a strength, against the balances of heat and coffee."""

from dataclasses import astuple

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from app.brewing.heat.balance import Vessel
from app.brewing.heat.iced import ice_alone, ice_and_water

beverages = st.floats(50, 1000)
hots = st.floats(50, 95)
colds = st.floats(0, 45)
strengths = st.floats(1.5, 4)
vessels = st.builds(Vessel, st.floats(0, 500), st.floats(5, 40))


def sentence_of(call) -> str:
    try:
        call()
    except ValueError as refusal:
        return str(refusal)
    return ""


@given(beverages, hots, strengths, colds, st.floats(-25, 0), vessels)
def test_ice_alone_keeps_the_coffee_and_the_heat(
    beverage_g, hot_c, strength, target_c, ice_c, vessel
):
    warm = beverage_g * 4.19 * (hot_c - target_c) + vessel.heat_j_per_k * (vessel.temp_c - target_c)
    assume(warm >= 0)
    iced = ice_alone(beverage_g, hot_c, strength, target_c, ice_c, vessel)
    assert iced.strength_pct * (beverage_g + iced.ice_g) == pytest.approx(
        strength * beverage_g, rel=1e-9
    )
    taken = iced.ice_g * (2.05 * -ice_c + 333.5 + 4.19 * target_c)
    assert taken == pytest.approx(warm, rel=1e-9, abs=1e-6)


@given(beverages, hots, strengths, colds, st.floats(0.3, 0.95), st.floats(0, 40), vessels)
def test_ice_and_water_meet_both_wishes_or_say_which_they_miss(
    beverage_g, hot_c, strength, target_c, part, water_c, vessel
):
    target_pct = strength * part
    drink = (beverage_g, hot_c, strength, target_c, target_pct, -18, vessel, water_c)
    refusal = sentence_of(lambda: ice_and_water(*drink))
    if refusal:
        assert "colder than the target" in refusal or "warmer than" in refusal
        return
    iced = ice_and_water(*drink)
    whole_g = beverage_g + iced.ice_g + iced.water_g
    assert iced.strength_pct == pytest.approx(target_pct, rel=1e-9)
    assert iced.strength_pct * whole_g == pytest.approx(strength * beverage_g, rel=1e-9)
    before = (
        beverage_g * 4.19 * hot_c
        + iced.water_g * 4.19 * water_c
        - iced.ice_g * (2.05 * 18 + 333.5)
        + vessel.heat_j_per_k * vessel.temp_c
    )
    after = (whole_g * 4.19 + vessel.heat_j_per_k) * iced.temp_c
    assert after == pytest.approx(before, abs=1e-9 * whole_g * 420)
    assert iced.temp_c >= target_c if iced.note else iced.temp_c == target_c


@given(beverages, hots, strengths, colds, st.floats(0, 300))
def test_half_of_everything_makes_one_glass_of_the_same(
    beverage_g, hot_c, strength, target_c, heat_j_per_k
):
    """Common practice, no source: half the brew and half the ice is the same drink."""
    assume(hot_c > target_c)
    two, one = (
        ice_and_water(
            size * beverage_g,
            hot_c,
            strength,
            target_c,
            strength / 2,
            vessel=Vessel(size * heat_j_per_k, hot_c),
            water_c=hot_c,
        )
        for size in (1, 0.5)
    )
    assert 2 * one.ice_g == pytest.approx(two.ice_g, rel=1e-9)
    assert 2 * one.water_g == pytest.approx(two.water_g, rel=1e-9, abs=1e-6)
    assert astuple(one)[2:5] == pytest.approx(astuple(two)[2:5], rel=1e-9)


def test_a_weak_brew_cannot_be_made_cold_and_strong_by_ice():
    iced = ice_and_water(200, 80, 1.3, 5, 1.1)
    assert iced.note is not None
    assert "thin it too much" in iced.note
    assert iced.temp_c > 5
    redone = ice_and_water(200, 80, iced.needed_pct * 1.0001, 5, 1.1)
    assert redone.note is None
    assert redone.water_g == pytest.approx(0, abs=0.1)


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: ice_alone(200, 80, 2, 5, ice_c=5), "Ice temperature must be"),
        (lambda: ice_alone(200, 80, 0, 5), "Strength must be between"),
        (lambda: ice_alone(200, 20, 2, 60), "warmer than the drink"),
        (lambda: ice_alone(0, 20, 2, 10), "Beverage must be between"),
        (lambda: ice_and_water(200, 80, 1, 5, 2), "Water only weakens"),
        (lambda: ice_and_water(200, 80, 2, 5, 1, water_c=150), "Water temperature must be"),
        (lambda: ice_and_water(200, 40, 4, 35, 0.4, water_c=5), "colder than the target"),
    ],
)
def test_what_cannot_be_gets_a_sentence(call, sentence):
    with pytest.raises(ValueError, match=sentence):
        call()
