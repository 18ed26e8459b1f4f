"""Units against an independent unit library."""

from itertools import product

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.brewing.units import UNITS, convert

PINTS = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
NAMES = {
    "g": "gram",
    "oz": "ounce",
    "ml": "milliliter",
    "US fl oz": "US_fluid_ounce",
    "imperial fl oz": "imperial_fluid_ounce",
    "°C": "degC",
    "°F": "degF",
}
PAIRS = [
    (one, other) for one, other in product(UNITS, repeat=2) if UNITS[one][0] == UNITS[other][0]
]


@given(st.sampled_from(PAIRS), st.floats(-1000, 1000))
def test_every_conversion_agrees_with_the_library(pair, value):
    one, other = pair
    oracle = PINTS.Quantity(value, NAMES[one]).to(NAMES[other]).magnitude
    assert convert(value, one, other) == pytest.approx(oracle, rel=1e-9, abs=1e-9)
    assert convert(convert(value, one, other), other, one) == pytest.approx(
        value, rel=1e-9, abs=1e-9
    )


def test_familiar_temperatures():
    assert convert(212, "°F", "°C") == pytest.approx(100)
    assert convert(0, "°C", "°F") == pytest.approx(32)


@pytest.mark.parametrize(
    ("value", "one", "other", "sentence"),
    [
        (1, "g", "ml", "g measures mass and ml measures volume"),
        (1, "stone", "g", "Unit must be one of"),
        (float("nan"), "g", "oz", "Enter a number"),
        (float("inf"), "g", "oz", "Enter a number"),
    ],
)
def test_what_cannot_be_converted_gets_a_sentence(value, one, other, sentence):
    with pytest.raises(ValueError, match=sentence):
        convert(value, one, other)
