"""Strength and extraction against published values, error propagation and each other."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from app.brewing.strength import extraction as ex

doses = st.floats(1, 2000)
ratios = st.floats(3, 40)
extractions = st.floats(0.01, 0.35)
helds = st.floats(0.5, 2.8)


def test_published_value(case):
    found = getattr(ex, case["call"])(**case["inputs"])
    assert found == pytest.approx(case["expected"], abs=case["tolerance"], rel=0)


@given(ratios, extractions)
def test_immersion_strength_and_extraction_undo_each_other(ratio, extraction):
    strength = ex.strength_immersed(ratio, extraction)
    assert ex.extraction_immersed(ratio, strength) == pytest.approx(extraction, rel=1e-9)


@given(doses, ratios, helds, extractions)
def test_drip_strength_and_extraction_undo_each_other(dose_g, ratio, retention, extraction):
    strength = ex.strength_dripped(ratio, retention, extraction)
    beverage_g = ex.beverage_g(dose_g, ratio * dose_g, extraction, retention)
    assert ex.extraction_dripped(dose_g, beverage_g, strength) == pytest.approx(
        extraction, rel=1e-9
    )


@given(doses, ratios, helds, extractions)
def test_an_immersion_brew_keeps_every_gram(dose_g, ratio, retention, extraction):
    """Cup and grounds together hold what was poured and what dissolved, at one strength."""
    water_g = ratio * dose_g
    beverage_g = ex.beverage_g(dose_g, water_g, extraction, retention)
    strength = ex.strength_immersed(ratio, extraction)
    assert beverage_g + retention * dose_g == pytest.approx(water_g / (1 - strength), rel=1e-9)
    solids_g = strength * (beverage_g + retention * dose_g)
    assert solids_g == pytest.approx(extraction * dose_g, rel=1e-9)


@given(doses, ratios, st.floats(0.005, 0.1))
def test_errors_propagate_as_the_uncertainties_library_has_it(dose_g, ratio, strength):
    water_g, errors = ratio * dose_g, (0.1, 1.0, 0.0003)
    dose, water, tds = (
        ufloat(*pair) for pair in zip((dose_g, water_g, strength), errors, strict=True)
    )
    immersed = water / dose * tds / (1 - tds)
    dripped = tds * water / dose
    assert ex.extraction_error_immersed(dose_g, water_g, strength, errors) == pytest.approx(
        immersed.std_dev, rel=1e-9
    )
    assert ex.extraction_error_dripped(dose_g, water_g, strength, errors) == pytest.approx(
        dripped.std_dev, rel=1e-9
    )


def test_grounds_that_hold_all_the_water_leave_no_beverage():
    assert ex.beverage_g(20, 30, 0.2, 2.0) == 0


def test_brix_is_converted_with_its_spread():
    assert ex.strength_from_brix(2) == pytest.approx((0.017, 0.0165, 0.018))


@pytest.mark.parametrize("strength", [0, 1, -0.1, float("nan")])
def test_a_strength_that_is_no_share_is_refused(strength):
    with pytest.raises(ValueError, match="between 0 and 100 %"):
        ex.extraction_immersed(16, strength)
    with pytest.raises(ValueError, match="between 0 and 100 %"):
        ex.extraction_dripped(15, 225, strength)


def test_a_cup_without_water_is_refused():
    with pytest.raises(ValueError, match="Water must be more than nothing"):
        ex.grams_per_litre(15, 0)
    with pytest.raises(ValueError, match="The beverage must be more than nothing"):
        ex.strength_dripped(1.0, 1.7, 0.2)
