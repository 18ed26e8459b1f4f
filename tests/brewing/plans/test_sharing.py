"""Two cups from one brewer."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.brewing.plans.sharing import share
from app.brewing.plans.steep import steep_for_strength
from app.brewing.strength.cup import Cup
from app.brewing.strength.estimate import estimate_cup
from app.brewing.strength.extraction import NOTICEABLE_TDS_PCT

SINGLE = Cup("pressed immersion", 11, 200, water_temp_c=93, steep_s=120, stirs=3)


def test_the_usual_two_cups_from_one_small_brewer():
    """Common practice, no source: 22 g in 240 g, steeped about 4 minutes, made up with 160 g."""
    two = share(SINGLE, 2, 240)
    assert (two.brew.dose_g, two.brew.water_g, two.brew.bypass_g) == (22, 240, 160)
    assert two.estimate.grams_per_l == pytest.approx(55)
    assert two.water_each_g == 80
    assert two.steep_s is not None
    assert two.steep_s > SINGLE.steep_s
    usual = estimate_cup(replace(two.brew, steep_s=240)).strength_pct.value
    assert abs(usual - two.single.strength_pct.value) < NOTICEABLE_TDS_PCT / 2


def test_a_doubled_dose_is_steeped_as_long_as_people_do_and_not_until_an_equation_holds():
    """Common practice, no source: about four minutes. The sums would have it steep for longer."""
    two = share(replace(SINGLE, water_g=180), 2, 200)
    assert two.needed_s is None or two.needed_s > 400
    assert two.steep_s == 240
    steeped = estimate_cup(replace(two.brew, steep_s=240))
    assert steeped.strength_pct.value < two.single.strength_pct.value
    patient = share(replace(SINGLE, water_g=180, steep_s=300), 2, 200)
    assert patient.steep_s == 300


def test_the_longer_steep_gives_the_strength_of_the_single_cup():
    two = share(SINGLE, 2, 240)
    assert two.needed_s is not None
    reached = estimate_cup(replace(two.brew, steep_s=two.needed_s)).strength_pct.value
    assert reached == pytest.approx(two.single.strength_pct.value, abs=1e-4)


@given(st.integers(1, 6), st.floats(220, 1000), st.floats(0, 100), st.floats(0, 100))
def test_all_the_water_reaches_the_cups_in_equal_shares(cups, capacity_g, bypass_g, ice_g):
    single = replace(SINGLE, bypass_g=bypass_g, ice_g=ice_g)
    shared = share(single, cups, capacity_g)
    assert shared.brew.water_g <= capacity_g
    assert shared.brew.water_g + shared.brew.added_g == pytest.approx(
        cups * (200 + bypass_g + ice_g), rel=1e-9
    )
    if shared.brewed_each_g is not None:
        each_g = shared.brewed_each_g + shared.water_each_g + ice_g
        assert cups * each_g == pytest.approx(shared.estimate.beverage_g.value, rel=1e-9)


def test_a_brewer_large_enough_needs_no_make_up_water_and_no_longer_steep():
    two = share(SINGLE, 2, 400)
    assert two.brew.bypass_g == 0
    assert two.steep_s == pytest.approx(120, abs=0.2)


def test_drip_has_no_steep_to_lengthen():
    assert share(Cup("cone", 15, 250, steep_s=150), 2, 300).steep_s is None


def test_a_strength_out_of_reach_has_no_steep():
    assert steep_for_strength(SINGLE, 3.0) is None


@pytest.mark.parametrize(
    ("cups", "capacity_g", "sentence"),
    [(0, 240, "Number of cups must be"), (2, 1, "Capacity must be"), (200, 240, "Number of cups")],
)
def test_what_cannot_be_gets_a_sentence(cups, capacity_g, sentence):
    with pytest.raises(ValueError, match=sentence):
        share(SINGLE, cups, capacity_g)


def test_a_dose_beyond_its_bounds_is_refused():
    with pytest.raises(ValueError, match="Dose for all cups must be between"):
        share(replace(SINGLE, dose_g=500), 10, 40000)
