"""Glass that has to change temperature along with the drink."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.brewing.heat.balance import GLASS_J_PER_G_K, WATER_J_PER_G_K, glassware, mix_with_ice

pieces = st.tuples(st.floats(1, 2000), st.floats(0, 100))


@given(pieces, pieces)
def test_two_pieces_hold_the_heat_of_both(one, other):
    both = glassware(one, other)
    assert both.heat_j_per_k * both.temp_c == pytest.approx(
        sum(glassware(piece).heat_j_per_k * piece[1] for piece in (one, other)), rel=1e-9
    )
    assert min(one[1], other[1]) - 1e-9 <= both.temp_c <= max(one[1], other[1]) + 1e-9


def test_a_glass_of_the_room_cools_a_hot_drink():
    """By hand: 300 g of glass at 20 degC and 200 g of water at 80, heat in equals heat out."""
    vessel = glassware((300, 20))
    mixed = mix_with_ice(200, 80, 0, vessel=vessel)
    gained = 300 * 0.84 * (mixed.temp_c - 20)
    lost = 200 * WATER_J_PER_G_K * (80 - mixed.temp_c)
    assert gained == pytest.approx(lost, rel=1e-9)
    assert GLASS_J_PER_G_K == 0.84  # soda-lime glass, from memory


def test_no_glass_is_no_vessel_and_odd_ones_are_refused():
    assert glassware().heat_j_per_k == 0
    assert glassware((0, 50), (0, 20)).heat_j_per_k == 0
    with pytest.raises(ValueError, match="Weight of the glass must be between 0 and 5000 g"):
        glassware((-1, 20))
    with pytest.raises(ValueError, match="Temperature of the glass"):
        glassware((100, 200))
