"""What a month of filters takes."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.brewing.footprint import FilterHabit, month_of

FRESH = FilterHabit(uses=1, price=0.04, mass_g=0.17, rinse_g=50)


def test_a_new_paper_each_brew():
    """Papers of 0.17 g (common practice, no source); 2 kg of water by 75 K at 85 %: 0.205 kWh."""
    month = month_of(FRESH, 40, price_per_kwh=0.3)
    assert month.filters == 40
    assert month.mass_g == pytest.approx(6.8)
    assert month.kwh == pytest.approx(2 * 4.186 * 75 / 3600 / 0.85)
    assert month.cost == pytest.approx(1.6 + 0.3 * month.kwh)


@given(st.floats(1, 100), st.floats(0, 1000))
def test_reuse_saves_paper_in_proportion_but_no_rinsing(uses, brews):
    once, reused = month_of(FRESH, brews), month_of(replace(FRESH, uses=uses), brews)
    assert reused.mass_g * uses == pytest.approx(once.mass_g, rel=1e-9)
    assert reused.kwh == once.kwh
    assert reused.filter_cost * uses == pytest.approx(once.filter_cost, rel=1e-9)


def test_a_metal_filter_is_one_used_very_often():
    metal = month_of(FilterHabit(uses=2000, price=12, mass_g=9, rinse_g=200), 40)
    assert metal.mass_g == pytest.approx(0.18)
    assert metal.filter_cost == pytest.approx(0.24)


@pytest.mark.parametrize(
    ("habit", "brews", "sentence"),
    [
        (replace(FRESH, uses=0), 40, "Uses of a filter must be"),
        (replace(FRESH, price=-1), 40, "Price of a filter must be"),
        (replace(FRESH, mass_g=0), 40, "Mass of a filter must be"),
        (replace(FRESH, rinse_g=1e9), 40, "Rinsing water must be"),
        (replace(FRESH, rinse_to_c=10), 40, "Final temperature must be"),
        (FRESH, -1, "Brews a month must be"),
    ],
)
def test_what_cannot_be_gets_a_sentence(habit, brews, sentence):
    with pytest.raises(ValueError, match=sentence):
        month_of(habit, brews)
