"""Two ways of brewing set against each other by the model."""

import pytest

from app.brewing.plans.compare import BeanFacts, expect, notice, price_per_kg
from app.brewing.strength.cup import Cup
from app.brewing.strength.difference import Known

STRONG = Cup("pressed immersion", 30, 100, bypass_g=100, steep_s=42, water_temp_c=93)
FULL = Cup("pressed immersion", 11, 200, steep_s=120, water_temp_c=93)
BEANS = BeanFacts(price_per_kg=30)


def test_strong_and_diluted_is_stronger_with_more_caffeine_and_dearer():
    """Common practice, no source: 30 g in 100 g for 40-45 s, diluted, against a full cup."""
    strong, full = expect(STRONG, BEANS), expect(FULL, BEANS)
    assert strong.estimate.strength_pct.value > full.estimate.strength_pct.value + 0.24
    assert strong.caffeine_mg.value > 1.2 * full.caffeine_mg.value
    assert (strong.bean_cost, full.bean_cost) == pytest.approx((0.9, 0.33))
    by_weight = [one.bean_cost / one.estimate.beverage_g.value for one in (strong, full)]
    assert by_weight[0] > by_weight[1]
    assert strong.estimate.extraction_pct.value < full.estimate.extraction_pct.value


def test_the_difference_is_put_in_words_with_its_doubt():
    said = notice(STRONG, FULL, Known())
    assert "as much as tasters noticed" in said
    assert "less than the 0.24" in notice(FULL, FULL, Known())
    assert "not known" in notice(FULL, Cup("other", 15, 250), Known())


def test_two_measured_cups_are_as_far_apart_as_their_meter_says():
    one, other = (Cup("cone", 15, 250, tds_pct=tds) for tds in (1.2, 1.6))
    assert notice(one, other, Known()) == (
        "0.40 % TDS apart: as much as tasters noticed (0.24, Frost 2019)."
    )
    near = Cup("cone", 15, 250, tds_pct=1.45)
    assert notice(one, near, Known()).endswith("It may be as little as 0.21.")


def test_a_difference_that_may_be_none_says_so():
    little = Cup("pressed immersion", 18, 260, steep_s=240, water_temp_c=93, stirs=3)
    more = Cup("pressed immersion", 28, 260, steep_s=240, water_temp_c=93, grind="coarse", stirs=0)
    said = notice(little, more, Known())
    assert said.endswith("What is not known of the two may outweigh it."), said


def test_coffee_kept_by_the_grounds_keeps_its_caffeine():
    cup = expect(Cup("immersion", 15, 250, steep_s=600))
    dripped = expect(Cup("cone", 15, 250))
    assert cup.caffeine_mg.value < dripped.caffeine_mg.value
    assert cup.bean_cost is None


def test_a_brewer_without_a_model_has_a_wide_guess_at_caffeine():
    other = expect(Cup("other", 15, 250), BEANS)
    assert other.caffeine_mg.low < 0.6 * other.caffeine_mg.value
    assert other.estimate.beverage_g is None


def test_a_negative_price_is_refused():
    with pytest.raises(ValueError, match="Price per kg must be between"):
        expect(FULL, BeanFacts(price_per_kg=-1))


def test_a_kilogram_costs_what_its_bag_says():
    assert price_per_kg(9.5, 250.0) == pytest.approx(38.0)
    assert price_per_kg(None, 250.0) is None
    assert price_per_kg(9.5, None) is None
