"""The one door: what a page is told of a cup, from every kind of input a journal may hold."""

from dataclasses import replace
from itertools import product
from math import exp, hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from app.brewing import bounds
from app.brewing.strength import notes
from app.brewing.strength.calibration import UNTAUGHT, Calibration, learn, taught
from app.brewing.strength.cup import Cup
from app.brewing.strength.doubt import doubts
from app.brewing.strength.estimate import Estimate, estimate_cup, measured_over_estimated
from app.brewing.strength.extraction import NOTICEABLE_TDS_PCT
from app.brewing.strength.retention import Retained

IMMERSED = ("pressed immersion", "immersion")
DRIPPED = ("cone", "flat bed")


def within(limits: tuple[float, float]) -> st.SearchStrategy[float]:
    return st.floats(*map(float, limits))


cups = st.builds(
    Cup,
    kind=st.sampled_from(bounds.BREWER_KINDS),
    dose_g=within(bounds.DOSE_G),
    water_g=within(bounds.WATER_G),
    bypass_g=st.just(0.0) | within(bounds.BYPASS_G),
    ice_g=st.just(0.0) | within(bounds.ICE_G),
    water_temp_c=st.none() | within(bounds.WATER_TEMP_C),
    steep_s=st.none() | within(bounds.STEEP_S),
    press_s=st.none() | within(bounds.PRESS_S),
    grind=st.sampled_from(bounds.GRINDS),
    beverage_g=st.none() | within(bounds.BEVERAGE_G),
    tds_pct=st.none() | within(bounds.TDS_PCT),
    stirs=st.none() | st.integers(*bounds.STIRS),
)
calibrations = st.none() | st.builds(
    lambda cup, ratio, n: learn([taught(cup, ratio)] * n),
    cups.filter(lambda cup: cup.kind != "other"),
    st.floats(0.6, 1.4),
    st.integers(0, 12),
)
everyday = st.builds(
    Cup,
    kind=st.sampled_from((*IMMERSED, *DRIPPED)),
    dose_g=st.floats(5, 60),
    water_g=st.floats(300, 900),
    bypass_g=st.floats(0, 400),
    ice_g=st.floats(0, 200),
    steep_s=st.floats(30, 600),
    grind=st.sampled_from(bounds.GRINDS),
)


def pressed(dose_g: float, water_g: float, **more: float | str) -> Cup:
    return Cup("pressed immersion", dose_g, water_g, **{"water_temp_c": 93, "stirs": 3, **more})


def calibrated(cup: Cup, ratios: list[float]) -> Calibration:
    return learn([taught(cup, ratio) for ratio in ratios])


def test_published_value(case):
    estimate = estimate_cup(Cup(**case["inputs"]))
    found = getattr(estimate, case["call"])
    found = found if isinstance(found, float) else found.value
    assert found == pytest.approx(case["expected"], abs=case["tolerance"], rel=0)


@given(cups, calibrations)
def test_every_value_within_bounds_reads_without_error_and_in_order(cup, calibration):
    estimate = estimate_cup(cup, calibration)
    for ranged in (estimate.strength_pct, estimate.extraction_pct, estimate.beverage_g):
        if ranged is not None:
            assert 0 <= ranged.low <= ranged.value <= ranged.high
    if estimate.strength_pct is not None:
        assert estimate.strength_pct.value <= 100
    assert estimate.measured == (cup.tds_pct is not None)
    assert all(sentence.endswith(".") for sentence in estimate.notes)


@given(everyday, st.booleans())
def test_measuring_the_estimated_cup_returns_the_estimate(cup, weigh):
    """The estimate's own strength, entered as measured, leads back to the same extraction."""
    guess = estimate_cup(cup)
    told = replace(
        cup, tds_pct=guess.strength_pct.value, beverage_g=guess.beverage_g.value if weigh else None
    )
    found = estimate_cup(told)
    assert found.extraction_pct.value == pytest.approx(guess.extraction_pct.value, rel=1e-9)
    assert found.beverage_g.value == pytest.approx(guess.beverage_g.value, rel=1e-9)
    assert measured_over_estimated(told) == pytest.approx(1, rel=1e-9)


@given(everyday)
def test_dilution_keeps_the_dissolved_coffee(cup):
    thin, strong = estimate_cup(cup), estimate_cup(replace(cup, bypass_g=0, ice_g=0))
    grams = [estimate.strength_pct.value * estimate.beverage_g.value for estimate in (thin, strong)]
    assert grams[0] == pytest.approx(grams[1], rel=1e-9)
    assert thin.extraction_pct == strong.extraction_pct
    assert thin.beverage_g.value - strong.beverage_g.value == pytest.approx(
        cup.bypass_g + cup.ice_g, abs=1e-9 * 1500
    )


@given(everyday)
def test_melted_ice_counts_as_bypass_water(cup):
    as_water = estimate_cup(replace(cup, ice_g=0, bypass_g=cup.bypass_g + cup.ice_g))
    assert estimate_cup(cup).strength_pct == as_water.strength_pct


@given(everyday, st.sampled_from(("low", "value", "high")))
def test_a_cup_weighed_anywhere_in_its_range_keeps_its_strength_in_range(cup, edge):
    estimate = estimate_cup(cup)
    weighed = estimate_cup(replace(cup, beverage_g=getattr(estimate.beverage_g, edge)))
    assert weighed.strength_pct.value <= estimate.strength_pct.high * (1 + 1e-9)
    assert weighed.strength_pct.value >= estimate.strength_pct.low * (1 - 1e-9)


def test_a_doubled_dose_made_up_with_water_is_the_same_full_cup():
    """Common practice, no source: 22 g + 240 g + 160 g comes back to 11 g + 200 g."""
    full = estimate_cup(pressed(11, 200, steep_s=120)).strength_pct
    for thinned in ({"bypass_g": 160}, {"ice_g": 160}):
        doubled = estimate_cup(pressed(22, 240, steep_s=240, **thinned)).strength_pct
        assert doubled.low <= full.value <= doubled.high
        assert full.low <= doubled.value <= full.high
        assert abs(full.value - doubled.value) < NOTICEABLE_TDS_PCT


@pytest.mark.parametrize(("dose_g", "water_g"), [(14, 250), (14.5, 260), (15, 270), (14.2, 258)])
def test_the_same_cup_scaled_keeps_ratio_and_strength(dose_g, water_g):
    """Common practice, no source: the kept ratio is within 3 % of 11 g to 200 g."""
    small, large = estimate_cup(pressed(11, 200)), estimate_cup(pressed(dose_g, water_g))
    assert large.ratio == pytest.approx(small.ratio, rel=0.03)
    assert large.strength_pct.value == pytest.approx(small.strength_pct.value, rel=0.03)


@pytest.mark.parametrize(
    ("steep_s", "grind"), list(product((40, 45), ("fine", "medium-fine", "medium")))
)
def test_a_short_strong_brew_cut_with_water_is_far_stronger(steep_s, grind):
    """Common practice, no source: 30 g in 100 g for 40-45 s, then 100 g of water."""
    strong = estimate_cup(pressed(30, 100, bypass_g=100, steep_s=steep_s, grind=grind)).strength_pct
    full = estimate_cup(pressed(11, 200, steep_s=120, grind=grind)).strength_pct
    assert strong.value - full.value > NOTICEABLE_TDS_PCT


def test_a_drip_brew_is_read_by_the_drip_formula_and_says_so():
    dripped = estimate_cup(Cup("cone", 15, 250, tds_pct=1.3, beverage_g=225))
    steeped = estimate_cup(Cup("immersion", 15, 250, tds_pct=1.3, beverage_g=225))
    assert (dripped.formula, steeped.formula) == ("drip", "immersion")
    assert dripped.extraction_pct.value == pytest.approx(1.3 * 225 / 15)
    assert steeped.extraction_pct.value == pytest.approx(100 * 250 / 15 * 0.013 / 0.987)


def test_a_measured_range_is_the_propagated_tolerance_of_meter_and_scales():
    dose, beverage, tds = ufloat(15, 0.1), ufloat(225, 1), ufloat(1.3, 0.03)
    expected = tds * beverage / dose
    found = estimate_cup(Cup("cone", 15, 250, tds_pct=1.3, beverage_g=225)).extraction_pct
    assert found.value == pytest.approx(expected.nominal_value)
    assert found.high - found.value == pytest.approx(expected.std_dev)
    assert found.value - found.low == pytest.approx(expected.std_dev)


def test_a_diluted_cup_keeps_the_relative_tolerance_of_its_meter():
    dose, water, tds = ufloat(22, 0.1), ufloat(240, 1), ufloat(1.1, 0.03)
    brewed = tds / 100 * 360 / (360 - 160)
    expected = 100 * water / dose * brewed / (1 - brewed)
    cup = Cup("immersion", 22, 240, bypass_g=160, beverage_g=360, tds_pct=1.1)
    found = estimate_cup(cup).extraction_pct
    assert found.value == pytest.approx(expected.nominal_value)
    assert found.high - found.value == pytest.approx(expected.std_dev, rel=1e-6)


def test_not_knowing_what_the_grounds_hold_widens_a_diluted_cup():
    cup = pressed(22, 240, bypass_g=160, steep_s=240)
    blind, sure = estimate_cup(cup), estimate_cup(cup, retained=Retained(2.0, 1e-6, 50))
    assert blind.strength_pct.value == pytest.approx(sure.strength_pct.value)
    assert blind.strength_pct.low < 0.99 * sure.strength_pct.low
    assert blind.strength_pct.high > 1.01 * sure.strength_pct.high


def test_the_range_is_what_is_unknown_and_the_chance_of_one_brew():
    cup = pressed(15, 250, steep_s=60)
    found, unknown = estimate_cup(cup).extraction_pct, doubts(cup)
    up = hypot(UNTAUGHT.brew_sd, *(one.up * share for one in unknown for _, share in one.places))
    down = hypot(UNTAUGHT.brew_sd, *(one.down * s for one in unknown for _, s in one.places))
    assert found.high / found.value == pytest.approx(exp(1.96 * up), rel=1e-4)
    assert found.low / found.value == pytest.approx(exp(-1.96 * down), rel=1e-4)


def test_a_calibration_moves_and_narrows_an_estimate_but_never_a_measurement():
    cup = pressed(15, 250, steep_s=120)
    cal = calibrated(cup, [0.9, 0.92, 0.91, 0.89, 0.9])
    plain, moved = estimate_cup(cup), estimate_cup(cup, cal)
    factor = exp(cal.foretell(doubts(cup)).middle)
    assert factor < 0.97
    assert moved.extraction_pct.value == pytest.approx(factor * plain.extraction_pct.value)
    assert moved.extraction_pct.high - moved.extraction_pct.low < (
        plain.extraction_pct.high - plain.extraction_pct.low
    )
    assert (plain.calibrated_on, moved.calibrated_on) == (0, 5)
    measured = pressed(15, 250, tds_pct=1.2)
    assert estimate_cup(measured, cal) == estimate_cup(measured)
    assert estimate_cup(cup, learn([])) == plain


def test_learned_retention_replaces_the_usual_one_and_is_named():
    learned = Retained(1.5, 0.1, 6)
    usual = estimate_cup(pressed(20, 200, bypass_g=100))
    own = estimate_cup(pressed(20, 200, bypass_g=100), retained=learned)
    assert own.beverage_g.value == pytest.approx(usual.beverage_g.value + 0.5 * 20)
    assert any("learned from weighed brews: 6" in sentence for sentence in own.notes)


def test_without_a_steep_time_the_range_is_wider_and_says_so():
    timed, untimed = estimate_cup(pressed(15, 250, steep_s=600)), estimate_cup(pressed(15, 250))
    assert untimed.extraction_pct.low < timed.extraction_pct.low
    assert untimed.extraction_pct.value == pytest.approx(21.5)
    assert notes.NO_STEEP in untimed.notes
    assert notes.NO_STEEP not in timed.notes


def test_half_of_the_press_counts_as_steeping():
    with_press = estimate_cup(pressed(15, 250, steep_s=60, press_s=60))
    assert with_press.extraction_pct == estimate_cup(pressed(15, 250, steep_s=90)).extraction_pct


@pytest.mark.parametrize(
    ("cup", "sentence"),
    [
        (pressed(30, 80), notes.LOW_RATIO),
        (pressed(15, 250, water_temp_c=60), notes.COOL_WATER),
        (Cup("immersion", 15, 250, steep_s=120), notes.NO_TEMP),
        (Cup("immersion", 15, 250), notes.NOTHING_NOTED),
        (pressed(15, 250, water_temp_c=59), notes.TOO_COOL),
        (pressed(15, 60), notes.LITTLE_WATER),
        (pressed(15, 250, steep_s=240, grind="coarse", stirs=0), notes.UNSTIRRED),
        (pressed(15, 250, steep_s=240, stirs=None), notes.NO_STIRS),
        (Cup("cone", 20, 34.5), notes.HARDLY_LEFT),
        (Cup("cone", 15, 250, tds_pct=1.275, brix=1.5), notes.FROM_BRIX),
        (pressed(15, 250), notes.PRESSED_BED),
        (pressed(15, 250, ice_g=80), notes.ICE_MELTED),
        (Cup("cone", 15, 250), notes.DRIP_USUAL),
        (Cup("other", 15, 250), notes.NO_MODEL),
        (Cup("immersion", 20, 40), notes.NOTHING_LEFT),
        (pressed(15, 250, bypass_g=100, beverage_g=90), notes.LIGHT_BEVERAGE),
        (pressed(15, 250, beverage_g=400), notes.HEAVY_BEVERAGE),
        (pressed(15, 250, bypass_g=100, beverage_g=90, tds_pct=1.2), notes.IMPOSSIBLE),
        (Cup("cone", 15, 250, beverage_g=220, tds_pct=3), notes.ABOVE_SOLUBLE),
        (Cup("cone", 15, 250), "taken to hold 1.7 times the dose (1.5 to 2)"),
        (pressed(15, 200, bypass_g=50), "taken to hold 2 times the dose (1.5 to 2.5)"),
    ],
)
def test_what_is_assumed_or_out_of_range_is_said(cup, sentence):
    assert any(sentence in said for said in estimate_cup(cup).notes)


@pytest.mark.parametrize(
    ("cup", "found"),
    [
        (Cup("immersion", 20, 40), [notes.NOTHING_LEFT]),
        (Cup("immersion", 20, 41), []),
        (Cup("immersion", 15, 250, bypass_g=60, ice_g=40, beverage_g=99), [notes.LIGHT_BEVERAGE]),
        (Cup("immersion", 15, 250, bypass_g=60, ice_g=40, beverage_g=100), [notes.LIGHT_BEVERAGE]),
        (Cup("immersion", 15, 250, bypass_g=60, ice_g=40, beverage_g=101), []),
        (Cup("immersion", 15, 250, beverage_g=260), []),
        (Cup("immersion", 15, 250, bypass_g=60, ice_g=40, beverage_g=365), []),
        (Cup("immersion", 15, 250, bypass_g=60, ice_g=40, beverage_g=366), [notes.HEAVY_BEVERAGE]),
    ],
)
def test_weights_contradict_each_other_from_the_edge_on(cup, found):
    """A cup weighs more than what was added to it, and at most what went in, the dose included."""
    assert notes.contradictions(cup, retention=2, extraction=0.2) == found


def test_a_plain_measured_cup_needs_no_notes():
    assert estimate_cup(Cup("immersion", 15, 250, tds_pct=1.2)).notes == ()


def test_a_brewer_without_a_model_still_shows_what_was_measured():
    estimate = estimate_cup(Cup("other", 15, 250, tds_pct=1.3, beverage_g=220))
    assert estimate.extraction_pct is None
    assert estimate.strength_pct.value == 1.3
    assert estimate.beverage_g.value == 220
    assert measured_over_estimated(Cup("other", 15, 250, tds_pct=1.3)) is None
    assert measured_over_estimated(Cup("cone", 15, 250)) is None


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"dose_g": -1}, "Dose must be between 0.1 and 2000 g"),
        ({"dose_g": float("nan")}, "Dose must be between"),
        ({"water_g": 1e9}, "Brew water must be between 1 and 40000 g"),
        ({"bypass_g": -5}, "Bypass water must be between"),
        ({"ice_g": float("inf")}, "Ice must be between"),
        ({"water_temp_c": 120}, "Water temperature must be between 0 and 100 °C"),
        ({"steep_s": -1}, "Steep time must be between"),
        ({"press_s": 9999}, "Press time must be between"),
        ({"beverage_g": 0}, "Beverage must be between"),
        ({"tds_pct": 40}, "Strength must be between 0.01 and 30 % TDS"),
        ({"kind": "sock"}, "Brewer must be one of: pressed immersion"),
        ({"grind": "dust"}, "Grind must be one of: fine"),
    ],
)
def test_values_out_of_bounds_get_a_sentence(change, sentence):
    with pytest.raises(ValueError, match=sentence):
        estimate_cup(replace(pressed(15, 250), **change))


def test_every_kind_of_brewer_is_known_to_the_formulas():
    for kind in bounds.BREWER_KINDS:
        assert isinstance(estimate_cup(Cup(kind, 15, 250)), Estimate)
