"""Recipes scaled step by step, and brewed strong where the brewer is too small."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.brewing.plans import scaling
from app.brewing.plans.scaling import Plan, PlannedStep

POURED = Plan(
    15,
    250,
    30,
    steps=(
        PlannedStep("bloom", 50, 0, 30),
        PlannedStep("pour", 200, 30, 60),
        PlannedStep("steep", None, 90, 60),
        PlannedStep("press", None, 150, 30),
        PlannedStep("dilute", 30),
    ),
)


def poured_g(plan: Plan, *kinds: str) -> float:
    return sum(step.grams for step in plan.steps if step.kind in kinds)


@given(st.floats(0.02, 50))
def test_scaling_there_and_back_returns_the_recipe(factor):
    back = scaling.scale(scaling.scale(POURED, factor), 1 / factor)
    assert back.dose_g == pytest.approx(15, rel=1e-9)
    assert back.total_g == pytest.approx(280, rel=1e-9)
    for step, original in zip(back.steps, POURED.steps, strict=True):
        assert (step.kind, step.starts_s, step.lasts_s) == (
            original.kind,
            original.starts_s,
            original.lasts_s,
        )
    assert [step.grams or 0 for step in back.steps] == pytest.approx(
        [step.grams or 0 for step in POURED.steps], rel=1e-9
    )


def test_every_amount_grows_alike_and_times_stay():
    double = scaling.scale(POURED, 2)
    assert (double.dose_g, double.water_g, double.bypass_g) == (30, 500, 60)
    assert [step.grams for step in double.steps] == [100, 400, None, None, 60]
    assert double.steps[2].lasts_s == 60


@pytest.mark.parametrize("dose_g", [14, 14.5, 15])
def test_the_usual_cup_scaled_lands_within_three_per_cent(dose_g):
    """Common practice, no source: 11 g to 200 g and 14-15 g to 250-270 g are the same cup."""
    plan = Plan(11, 200)
    scaled = scaling.scale(plan, scaling.factor_for_dose(plan, dose_g))
    assert 250 * 0.97 <= scaled.water_g <= 270 * 1.03


def test_factors_from_water_and_cups():
    assert scaling.factor_for_total(POURED, 560) == 2
    assert scaling.factor_for_cups(1, 2) == 2


def test_a_larger_dose_leaves_less_room_for_water():
    assert scaling.brew_water_that_fits(240, 22) == 240
    assert scaling.brew_water_that_fits(250, 35, 15) == 235
    with pytest.raises(ValueError, match="no room for water"):
        scaling.brew_water_that_fits(100, 500, 15)


def test_a_recipe_too_big_for_the_brewer_says_so_and_finds_the_way_out():
    double = scaling.scale(POURED, 2)
    strong = scaling.brew_strong(double, 240)
    assert (strong.dose_g, strong.water_g, strong.bypass_g) == (30, 240, 320)
    assert strong.total_g == double.total_g
    assert poured_g(strong, "bloom", "pour") == pytest.approx(240)
    assert poured_g(strong, "dilute") == pytest.approx(320)
    assert len(strong.steps) == len(double.steps)


def test_a_step_to_dilute_is_added_where_there_was_none():
    plain = Plan(30, 500, steps=(PlannedStep("pour", 500),))
    assert scaling.brew_strong(plain, 240).steps[-1] == PlannedStep("dilute", 260)
    assert scaling.brew_strong(plain, 600) == plain
    assert scaling.brew_strong(Plan(30, 500), 240).steps == ()


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: scaling.scale(POURED, 0), "Scale factor must be between 0.01 and 100"),
        (lambda: scaling.scale(Plan(500, 5000), 50), "Scaled dose must be between 0.1 and 2000"),
        (lambda: scaling.factor_for_dose(POURED, -2), "Dose must be between"),
        (lambda: scaling.factor_for_total(POURED, 1e9), "Water and ice together must be"),
        (lambda: scaling.factor_for_cups(0, 2), "Cups now must be between"),
        (lambda: scaling.brew_water_that_fits(1, 15), "Capacity must be between 10 and 40000"),
        (lambda: scaling.brew_strong(POURED, 0), "Room in the brewer must be between"),
    ],
)
def test_what_cannot_be_gets_a_sentence(call, sentence):
    with pytest.raises(ValueError, match=sentence):
        call()
