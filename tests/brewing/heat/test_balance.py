"""Heat against two reference libraries of water properties, and against its own balance."""

import CoolProp.CoolProp as coolprop
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from iapws._iapws import _Ice

from app.brewing.heat import balance as heat
from app.brewing.heat.balance import Vessel

masses = st.floats(1, 5000)
temps = st.floats(0, 100)
ice_temps = st.floats(-40, 0)
vessels = st.builds(Vessel, st.floats(0, 2000), temps)


def enthalpy(temp_c):
    return coolprop.PropsSI("H", "T", temp_c + 273.15, "P", 101325, "Water") / 1000


def ice_enthalpy(temp_c):
    return _Ice(temp_c + 273.15, 0.101325)["h"]


@pytest.mark.parametrize(
    ("liquid_g", "liquid_c", "ice_g", "ice_c"),
    [(200, 85, 160, -18), (240, 90, 100, -18), (120, 70, 80, -10), (300, 60, 60, 0)],
)
def test_mixing_agrees_with_the_enthalpies_of_water_and_ice(liquid_g, liquid_c, ice_g, ice_c):
    """Constant heat capacities are the model's shortcut: half a degree against the real ones."""
    mixed = heat.mix_with_ice(liquid_g, liquid_c, ice_g, ice_c)
    heat_in = liquid_g * enthalpy(liquid_c) + ice_g * ice_enthalpy(ice_c)
    real_c = (
        coolprop.PropsSI("T", "H", 1000 * heat_in / (liquid_g + ice_g), "P", 101325, "Water")
        - 273.15
    )
    assert mixed.melted_share == 1
    assert mixed.temp_c == pytest.approx(real_c, abs=0.5)


def test_melted_share_agrees_with_the_enthalpies_of_water_and_ice():
    mixed = heat.mix_with_ice(150, 60, 200, -18)
    heat_in = 150 * enthalpy(60) + 200 * ice_enthalpy(-18)
    at_zero, frozen = enthalpy(0.01), ice_enthalpy(-0.01)
    melted_g = (heat_in - 150 * at_zero - 200 * frozen) / (at_zero - frozen)
    assert mixed.temp_c == 0
    assert mixed.melted_g == pytest.approx(melted_g, abs=1.0)


def energy(liquid_g, liquid_c, ice_g, ice_c, vessel, vessel_c):
    """Heat content in J, from water at 0 degC, written out apart from the code under test."""
    return (
        liquid_g * 4.19 * liquid_c
        - ice_g * (2.05 * -ice_c + 333.5)
        + vessel.heat_j_per_k * vessel_c
    )


@given(masses, temps, masses, ice_temps, vessels)
def test_heat_in_is_heat_out_and_no_water_is_lost(liquid_g, liquid_c, ice_g, ice_c, vessel):
    before = energy(liquid_g, liquid_c, ice_g, ice_c, vessel, vessel.temp_c)
    try:
        mixed = heat.mix_with_ice(liquid_g, liquid_c, ice_g, ice_c, vessel)
    except ValueError:
        assert before <= -333.5 * ice_g
        return
    after = energy(
        liquid_g + mixed.melted_g, mixed.temp_c, mixed.ice_left_g, 0, vessel, mixed.temp_c
    )
    scale = liquid_g * 4.19 * 100 + ice_g * 420 + vessel.heat_j_per_k * 100
    assert after == pytest.approx(before, abs=1e-9 * scale)
    assert mixed.melted_g + mixed.ice_left_g == pytest.approx(ice_g, rel=1e-9)
    assert 0 <= mixed.melted_share <= 1
    assert mixed.temp_c == 0 or mixed.melted_share == 1


@given(masses, temps, temps, ice_temps, vessels)
def test_the_ice_found_reaches_the_target(liquid_g, liquid_c, target_c, ice_c, vessel):
    warm = liquid_g * 4.19 * (liquid_c - target_c)
    assume(warm + vessel.heat_j_per_k * (vessel.temp_c - target_c) >= 0)
    ice_g = heat.ice_for_temperature(liquid_g, liquid_c, target_c, ice_c, vessel)
    mixed = heat.mix_with_ice(liquid_g, liquid_c, ice_g, ice_c, vessel)
    assert mixed.temp_c == pytest.approx(target_c, abs=1e-9 * 100)


def test_freezer_ice_in_a_hot_strong_brew_nearly_all_melts_and_leaves_it_cold():
    """Common practice, no source: 160 g into what 240 g of brew water gave."""
    mixed = heat.mix_with_ice(200, 80, 160, -18, Vessel(200, 20))
    assert mixed.melted_share > 0.95
    assert mixed.temp_c < 12


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: heat.mix_with_ice(200, 85, 100, 5), "Ice temperature must be between -40 and 0"),
        (lambda: heat.mix_with_ice(-1, 85, 100), "Drink must be between 0 and 1000000 g"),
        (lambda: heat.mix_with_ice(200, 120, 100), "Drink temperature must be between 0 and 100"),
        (lambda: heat.mix_with_ice(10, 1, 1000, -30), "would freeze the drink"),
        (lambda: heat.ice_for_temperature(200, 20, 60), "target is warmer than the drink"),
    ],
)
def test_numbers_out_of_range_get_a_sentence(call, sentence):
    with pytest.raises(ValueError, match=sentence):
        call()
