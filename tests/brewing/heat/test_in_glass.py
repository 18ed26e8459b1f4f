"""A hot beverage, ice, cold water and a glass: heat and solids kept, cups shared alike."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.brewing.heat.balance import ICE_J_PER_G_K, MELTING_J_PER_G, WATER_J_PER_G_K, Vessel
from app.brewing.heat.iced import ice_and_water
from app.brewing.heat.in_glass import in_glass
from app.brewing.ranged import Ranged

STRENGTH = Ranged(1.8, 1.5, 2.1)
grams = st.floats(0.5, 600)


def heat_j(ice_melted_g: float, temp_c: float, liquid_g: float) -> float:
    """Measured from ice at 0 degC upwards."""
    return ice_melted_g * MELTING_J_PER_G + liquid_g * WATER_J_PER_G_K * temp_c


@given(
    grams, st.floats(60, 98), st.floats(0, 300), st.floats(-25, 0), st.floats(0, 300),
    st.floats(1, 40), st.floats(0, 500),
)  # fmt: skip
def test_heat_in_is_heat_out_and_solids_stay(hot, hot_c, ice, ice_c, water, water_c, glass):
    ice = min(ice, hot)
    found = in_glass(hot, hot_c, STRENGTH, (ice, ice_c), (water, water_c), Vessel(glass, 20))
    mixed = found.mixed
    before = heat_j(0, hot_c, hot) + heat_j(0, water_c, water) + glass * 20
    before -= ice * ICE_J_PER_G_K * -ice_c
    after = heat_j(mixed.melted_g, mixed.temp_c, hot + water + mixed.melted_g)
    after += glass * mixed.temp_c
    if not mixed.ice_left_g:
        after = heat_j(ice, mixed.temp_c, hot + water + ice) + glass * mixed.temp_c
    assert after == pytest.approx(before, rel=1e-9, abs=1e-6)
    for strength, added in (
        (found.drink_pct, water),
        (found.strength_pct, water + mixed.melted_g),
        (found.melted_pct, water + ice),
    ):
        assert strength.value * (hot + added) == pytest.approx(STRENGTH.value * hot, rel=1e-9)
        assert strength.low <= strength.value <= strength.high


def test_what_was_solved_for_comes_out():
    found = ice_and_water(240, 78, 1.9, 5, 0.9, vessel=Vessel(200, 22), water_c=15)
    glass = in_glass(
        240, 78, Ranged(1.9, 1.9, 1.9), (found.ice_g, -18), (found.water_g, 15), Vessel(200, 22)
    )
    assert glass.mixed.temp_c == pytest.approx(5, abs=1e-6)
    assert glass.melted_pct.value == pytest.approx(0.9, rel=1e-9)


def test_half_of_everything_makes_the_same_cup():
    """Common practice, no source: half of everything makes one iced cup."""
    two = in_glass(200, 78, STRENGTH, (160, -18), vessel=Vessel(300, 20))
    one = in_glass(100, 78, STRENGTH, (80, -18), vessel=Vessel(150, 20))
    assert one.mixed.temp_c == pytest.approx(two.mixed.temp_c)
    assert one.mixed.melted_share == pytest.approx(two.mixed.melted_share)
    assert one.strength_pct == two.strength_pct


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"ice": (10.0, 5.0)}, "Ice temperature must be between -40 and 0 °C"),
        ({"hot_c": 101.0}, "Drink temperature"),
        ({"water": (-1.0, 20.0)}, "Cold water must be"),
        ({"ice": (1e9, -18.0)}, "Ice must be between"),
    ],
)
def test_odd_values_get_a_sentence(given, sentence):
    usual = {"hot_c": 78.0, "strength_pct": STRENGTH, "ice": (160.0, -18.0)}
    with pytest.raises(ValueError, match=sentence):
        in_glass(200.0, **(usual | given))
