"""Heating against a reference library of water properties."""

import CoolProp.CoolProp as coolprop
import pytest

from app.brewing.heat import heating


def test_published_value(case):
    found = getattr(heating, case["call"])(**case["inputs"])
    assert found == pytest.approx(case["expected"], abs=case["tolerance"], rel=0)


@pytest.mark.parametrize("temp_c", [0.5, 4, 20, 55, 80, 93, 96, 99])
def test_density_agrees_with_coolprop(temp_c):
    oracle = coolprop.PropsSI("D", "T", temp_c + 273.15, "P", 101325, "Water")
    assert heating.density_kg_m3(temp_c) == pytest.approx(oracle, rel=3e-5)


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: heating.heating_kwh(500, 90, 20), "Final temperature must be between 90 and 100"),
        (lambda: heating.heating_kwh(500, 20, 90, 0), "Efficiency must be between 0.05 and 1"),
        (lambda: heating.density_kg_m3(float("nan")), "Water temperature must be between"),
    ],
)
def test_numbers_out_of_range_get_a_sentence(call, sentence):
    with pytest.raises(ValueError, match=sentence):
        call()


def test_a_hot_drink_gets_a_caution():
    assert heating.drinking_caution(58) is None
    assert "burns within seconds" in (heating.drinking_caution(62) or "")
    assert "IARC" in (heating.drinking_caution(70) or "")
