"""Strength and extraction against published values, error propagation and each other."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from app.brewing.strength import extraction as ex
from app.brewing.strength import finished

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
    strength = finished.strength("drip", ratio, 0.0, None, extraction, retention)
    beverage_g = dose_g * finished.drained(ratio, extraction, retention)
    assert strength == pytest.approx(extraction / (ratio - retention + extraction), rel=1e-9)
    assert ex.extraction_dripped(dose_g, beverage_g, strength) == pytest.approx(
        extraction, rel=1e-9
    )


@given(doses, ratios, helds, extractions)
def test_an_immersion_brew_keeps_every_gram(dose_g, ratio, retention, extraction):
    """Cup and grounds together hold what was poured and what dissolved, at one strength."""
    water_g = ratio * dose_g
    beverage_g = dose_g * finished.drained(ratio, extraction, retention)
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


def test_beverage_of_an_immersion_brew_at_ratio_16():
    """Liang, Chan, Ristenpart 2021, doi 10.1038/s41598-021-85787-1: B/D = R/(1 - t) - r."""
    assert finished.drained(16, 0.215, 2.48) == pytest.approx(13.735, abs=1e-9)


def test_grounds_that_hold_all_the_water_leave_what_dissolved():
    assert finished.drained(30 / 20, 0.2, 2.0) == 0.2


@pytest.mark.parametrize("strength", [0, 1, -0.1, float("nan")])
def test_a_strength_that_is_no_share_is_refused(strength):
    with pytest.raises(ValueError, match="between 0 and 100 %"):
        ex.extraction_immersed(16, strength)
    with pytest.raises(ValueError, match="between 0 and 100 %"):
        ex.extraction_dripped(15, 225, strength)


def test_a_brew_without_dose_or_water_is_refused():
    with pytest.raises(ValueError, match="Dose must be more than nothing"):
        ex.extraction_dripped(0, 225, 0.0135)
    with pytest.raises(ValueError, match="Ratio and extraction together must be more than nothing"):
        ex.strength_immersed(-1.0, 0.2)
