"""A standing drink against an independent integration of its heat content."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from app.brewing.heat.balance import Vessel, mix_with_ice
from app.brewing.heat.warming import warming_curve

MINUTES = [0, 5, 20, 45, 60, 90, 150, 240]


def drink_at(heat_j, whole_g, vessel_j_per_k):
    """Temperature of ice and water together with this heat content (J, from water at 0 degC)."""
    return max(0.0, heat_j / (whole_g * 4.19 + vessel_j_per_k))


@pytest.mark.parametrize("ice_g", [0, 100, 160, 260])
def test_the_curve_agrees_with_integrating_the_heat_that_comes_in(ice_g):
    vessel, room_c, w_per_k = Vessel(150, 22), 24, 0.5
    mixed = mix_with_ice(200, 80, ice_g, -18, vessel)
    whole_g = 200 + ice_g
    start = mixed.temp_c * (whole_g * 4.19 + 150) - mixed.ice_left_g * 333.5

    def slope(_, heat_j):
        return [w_per_k * (room_c - drink_at(heat_j[0], whole_g, 150))]

    seconds = 60.0 * np.array(MINUTES)
    solved = solve_ivp(slope, (0, seconds[-1]), [start], "RK45", seconds, rtol=1e-9, max_step=20)
    curve = warming_curve(mixed, 200, 2.0, MINUTES, room_c, w_per_k, vessel)
    for point, heat_j in zip(curve, solved.y[0], strict=True):
        assert point.temp_c == pytest.approx(drink_at(heat_j, whole_g, 150), abs=0.02)
        assert point.ice_left_g == pytest.approx(max(0.0, -heat_j / 333.5), abs=0.02)


@given(st.floats(50, 500), st.floats(50, 95), st.floats(0, 400), st.floats(1, 4), st.floats(0, 45))
def test_coffee_is_kept_while_ice_melts(beverage_g, hot_c, ice_g, strength, room_c):
    mixed = mix_with_ice(beverage_g, hot_c, ice_g, -5)
    curve = warming_curve(mixed, beverage_g, strength, MINUTES, room_c)
    for point in curve:
        liquid_g = beverage_g + ice_g - point.ice_left_g
        assert point.strength * liquid_g == pytest.approx(strength * beverage_g, rel=1e-9)
        assert 0 <= point.ice_left_g <= ice_g
        assert point.temp_c == 0 or point.ice_left_g == 0
    for part in ("ice_left_g", "strength"):
        values = [getattr(point, part) for point in curve]
        assert values == sorted(values, reverse=True)


def test_a_hot_drink_cools_towards_the_room():
    curve = warming_curve(mix_with_ice(200, 80, 0), 200, 1.2, MINUTES, 20)
    temps = [point.temp_c for point in curve]
    assert temps == sorted(temps, reverse=True)
    assert temps[0] == 80
    assert 20 < temps[-1] < 25


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"room_c": 60}, "Room temperature must be"),
        ({"w_per_k": 0}, "Heat transfer must be"),
        ({"minutes": [-1]}, "Time must be between"),
        ({"beverage_g": 0}, "Beverage must be between"),
    ],
)
def test_what_cannot_be_gets_a_sentence(change, sentence):
    usual = {"mixed": mix_with_ice(200, 80, 100), "beverage_g": 200, "strength": 2, "minutes": [0]}
    with pytest.raises(ValueError, match=sentence):
        warming_curve(**(usual | change))
