"""Water hardness against molar masses and the definitions of the units."""

from itertools import product

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.brewing import water

units = st.sampled_from(sorted(water.HARDNESS_UNITS))
waters = st.tuples(st.floats(0, 500), st.floats(0, 500))


def test_published_value(case):
    found = getattr(water, case["call"])(**case["inputs"])
    assert found == pytest.approx(case["expected"], abs=case["tolerance"], rel=0)


def test_grains_follow_from_their_definitions():
    pints = pint.UnitRegistry()
    us = (1 * pints.grain / pints.gallon).to("mg/L").magnitude
    english = (1 * pints.grain / pints.imperial_gallon).to("mg/L").magnitude
    assert water.HARDNESS_UNITS["US gpg"] == pytest.approx(us, rel=1e-4)
    assert water.HARDNESS_UNITS["°e"] == pytest.approx(english, rel=1e-4)


def test_degrees_and_ions_follow_from_molar_masses():
    """IUPAC standard atomic masses (from memory): Ca 40.078, Mg 24.305, C 12.011, O 15.999."""
    carbonate = 40.078 + 12.011 + 3 * 15.999
    assert water.HARDNESS_UNITS["mmol/L"] == pytest.approx(carbonate, rel=1e-4)
    assert water.HARDNESS_UNITS["°dH"] == pytest.approx(
        10 * carbonate / (40.078 + 15.999), rel=1e-4
    )
    assert water.hardness_from_ions(1, 0) == pytest.approx(carbonate / 40.078, rel=5e-4)
    assert water.hardness_from_ions(0, 1) == pytest.approx(carbonate / 24.305, rel=5e-4)
    bicarbonate = 1.008 + 12.011 + 3 * 15.999
    assert water.alkalinity_from_bicarbonate(1) == pytest.approx(
        carbonate / 2 / bicarbonate, rel=5e-4
    )


@given(st.floats(0, 40), units, units)
def test_converting_there_and_back_returns_the_value(value, one, other):
    there = water.convert_hardness(value, one, other)
    assert water.convert_hardness(there, other, one) == pytest.approx(value, rel=1e-9)


@given(waters, waters, st.floats(0, 1))
def test_what_is_dissolved_is_kept_and_the_share_is_found_again(first, second, share):
    mixed = water.mix(first, second, share)
    assert mixed.hardness_mg_l == pytest.approx(share * first[0] + (1 - share) * second[0])
    assert mixed.alkalinity_mg_l == pytest.approx(share * first[1] + (1 - share) * second[1])
    if abs(first[0] - second[0]) > 1:
        low, high = sorted((first[0], second[0]))
        target = min(high, max(low, mixed.hardness_mg_l))
        found = water.mix_to_hardness(first, second, target)
        assert found.share_first == pytest.approx(share, abs=1e-9)
        assert found.hardness_mg_l == pytest.approx(target, rel=1e-9, abs=1e-9)


def test_two_waters_alike_mix_to_themselves():
    assert water.mix_to_hardness((80, 40), (80, 60), 80).hardness_mg_l == 80


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: water.convert_hardness(-1, "°dH", "°f"), "Hardness must be between 0 and 5000"),
        (lambda: water.convert_hardness(1, "°x", "°f"), "Unit must be one of"),
        (lambda: water.mix((80, 40), (20, 10), 1.5), "Share of the first water must be"),
        (lambda: water.mix_to_hardness((80, 40), (20, 10), 100), "between the two waters"),
        (lambda: water.hardness_from_ions(-1, 0), "Calcium must be between"),
        (lambda: water.alkalinity_from_bicarbonate(1e9), "Bicarbonate must be between"),
    ],
)
def test_what_cannot_be_gets_a_sentence(call, sentence):
    with pytest.raises(ValueError, match=sentence):
        call()


def test_every_pair_of_units_converts():
    for one, other in product(water.HARDNESS_UNITS, repeat=2):
        assert water.convert_hardness(1, one, other) > 0


def test_parts_of_a_mixture_add_up_to_it():
    mixed = water.mix_to_hardness((250.0, 180.0), (0.0, 0.0), 50.0)
    first, second = mixed.parts(1000.0)
    assert (first, second) == pytest.approx((200.0, 800.0))
    assert (first * 250.0 + second * 0.0) / 1000.0 == pytest.approx(50.0)
