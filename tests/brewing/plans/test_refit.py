"""Steps that follow other amounts and another steep, and weights that a scale can show."""

from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.brewing.plans.refit import refit, resteep, weighable
from app.brewing.plans.scaling import Plan, PlannedStep, scale

STEPS = (
    PlannedStep("bloom", 50, 0, 30),
    PlannedStep("pour", 200, 30, 60),
    PlannedStep("steep", None, 0, 120),
    PlannedStep("press", None, 120, 30),
    PlannedStep("dilute", 30),
)
PLAN = Plan(15, 250, 30, steps=STEPS)
amounts = st.floats(0.5, 3000)


def added(plan: Plan, *kinds: str) -> float:
    return sum(step.grams or 0.0 for step in plan.steps if step.kind in kinds)


@given(amounts, amounts, amounts, amounts)
def test_steps_add_up_to_the_amounts_wherever_they_did(dose, water, bypass, ice):
    fitted = refit(PLAN, dose, water, bypass, ice)
    assert (fitted.dose_g, fitted.water_g, fitted.bypass_g, fitted.ice_g) == (
        dose, water, bypass, ice,
    )  # fmt: skip
    assert added(fitted, "bloom", "pour") == pytest.approx(water, rel=1e-9)
    assert added(fitted, "dilute") == pytest.approx(bypass, rel=1e-9)
    assert added(fitted, "ice") == pytest.approx(ice, rel=1e-9)


def test_pours_keep_their_proportions_and_times():
    fitted = refit(PLAN, 30, 500, 30, 0)
    assert [step.grams for step in fitted.steps] == [100, 400, None, None, 30]
    assert [step.starts_s for step in fitted.steps] == [0, 30, 0, 120, None]


def test_no_more_bypass_is_no_step_of_it_and_a_bare_plan_stays_bare():
    assert [step.kind for step in refit(PLAN, 15, 250, 0, 0).steps] == [
        "bloom", "pour", "steep", "press",
    ]  # fmt: skip
    assert refit(Plan(15, 250), 30, 300, 100, 100).steps == ()


@given(st.floats(0.05, 40))
def test_fitting_to_a_multiple_is_scaling(factor):
    scaled = scale(PLAN, factor)
    fitted = refit(PLAN, scaled.dose_g, scaled.water_g, scaled.bypass_g, scaled.ice_g)
    assert [step.grams or 0 for step in fitted.steps] == pytest.approx(
        [step.grams or 0 for step in scaled.steps], rel=1e-9
    )


def test_a_longer_steep_moves_its_end_and_what_follows():
    longer = resteep(STEPS, 120, 240)
    assert [(step.starts_s, step.lasts_s) for step in longer] == [
        (0, 30), (30, 60), (0, 240), (240, 30), (None, None),
    ]  # fmt: skip
    assert resteep(longer, 240, 120) == STEPS
    assert resteep(STEPS, 120, None) == STEPS
    assert resteep(STEPS, None, 240) == STEPS


@given(st.floats(0.1, 2000), st.lists(st.floats(0, 500), min_size=1, max_size=8))
def test_rounded_steps_still_add_up_and_no_cup_on_the_way_is_off_by_more_than_half_a_step(
    dose, grams
):
    water = max(1.0, sum(grams))
    steps = tuple(PlannedStep("pour", g * water / sum(grams) if sum(grams) else g) for g in grams)
    rounded = weighable(Plan(dose, water, steps=steps))
    if sum(grams):
        assert added(rounded, "pour") == pytest.approx(rounded.water_g, abs=1e-6)
    pairs = zip(
        accumulate(step.grams for step in rounded.steps),
        accumulate(step.grams for step in steps),
        strict=True,
    )
    assert all(abs(shown - exact) <= 0.05 + 1e-6 for shown, exact in pairs)
    assert all(step.grams == round(step.grams, 1) for step in rounded.steps)


def test_a_pinch_stays_a_dose():
    assert weighable(Plan(0.101, 2)).dose_g == 0.1
    assert weighable(Plan(14.449, 263.64)).dose_g == 14.4
