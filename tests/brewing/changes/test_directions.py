"""Directions as published, and the amounts that follow from them within the gear."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.brewing import bounds
from app.brewing.changes.amounts import NOTICED_PCT, Gear, change
from app.brewing.changes.directions import EFFECTS, Lever, directions
from app.brewing.strength.cup import Cup
from app.brewing.strength.estimate import estimate_cup
from app.brewing.strength.expected import modelled_extraction

PRESS = Cup(
    "pressed immersion", 14.6, 212.0, water_temp_c=91.0, steep_s=100, grind="medium", stirs=4
)
CONE = Cup("cone", 17.4, 284.0, grind="medium", water_temp_c=94.0)
ANY = Gear(None, grinder=True)


def test_the_directions_are_those_of_frost_ristenpart_and_guinard_2020() -> None:
    """Marginal means: TDS 1.00 / 1.50: bitterness 32 / 44, sourness 26 / 37, sweetness 28 / 24,
    thickness 40 / 47; extraction 16 / 24 %: sourness 35 / 28, bitterness 35 / 40."""
    assert EFFECTS["stronger"] == {
        "strength": 12, "bitterness": 12, "acidity": 11, "sweetness": -4, "body": 7,
    }  # fmt: skip
    assert EFFECTS["more extraction"] == {"bitterness": 5, "acidity": -7}
    for up, down in (("stronger", "weaker"), ("more extraction", "less extraction")):
        assert EFFECTS[down] == {name: -by for name, by in EFFECTS[up].items()}  # type: ignore[index]


@pytest.mark.parametrize(
    ("wanted", "levers"),
    [
        ({"bitterness": -1}, ["weaker", "less extraction"]),
        ({"acidity": -1}, ["weaker", "more extraction"]),
        ({"strength": 1}, ["stronger"]),
        ({"sweetness": 1}, ["weaker"]),
        ({"bitterness": -1, "strength": 1}, ["less extraction"]),  # water would only trade them
        ({"clarity": 1}, []),
        ({"strength": 1, "body": -1}, ["stronger"]),
        ({}, []),
    ],
)
def test_levers_for_what_is_off(wanted: dict[str, int], levers: list[Lever]) -> None:
    assert [one.lever for one in directions(wanted)] == levers


def test_what_a_lever_works_against_is_named() -> None:
    (stronger, _) = directions({"body": 1, "bitterness": 1, "sweetness": 1})
    assert (stronger.lever, stronger.hurts) == ("stronger", ("sweetness",))


@pytest.mark.parametrize("lever", ["stronger", "weaker"])
def test_strength_moves_by_what_drinkers_notice(lever: Lever) -> None:
    made = change(lever, PRESS, estimate_cup(PRESS), ANY)
    assert made
    assert made.name == "water_g"
    assert abs(made.becomes - made.was) == pytest.approx(NOTICED_PCT, abs=0.005)
    again = estimate_cup(replace(PRESS, water_g=float(made.after))).strength_pct
    assert again
    assert again.value == pytest.approx(made.becomes, abs=0.01)


def test_a_full_brewer_gets_less_coffee_instead_of_more_water() -> None:
    made = change("weaker", PRESS, estimate_cup(PRESS), Gear(220.0, grinder=True))
    assert made
    assert (made.name, made.before) == ("dose_g", 14.6)
    again = estimate_cup(replace(PRESS, dose_g=float(made.after))).strength_pct
    assert again
    assert again.value == pytest.approx(made.becomes, abs=0.01)


def test_a_cup_with_bypass_water_gets_other_bypass_water() -> None:
    cup = replace(PRESS, bypass_g=60.0)
    made = change("weaker", cup, estimate_cup(cup), ANY)
    assert made
    assert made.name == "bypass_g"
    again = estimate_cup(replace(cup, bypass_g=float(made.after))).strength_pct
    assert again
    assert again.value == pytest.approx(made.becomes, abs=0.01)


def test_without_a_grinder_only_the_steep_moves_extraction() -> None:
    bought = Gear(None, grinder=False)
    coarse = replace(PRESS, grind="coarse")
    made = change("more extraction", coarse, estimate_cup(coarse), bought)
    assert made
    assert (made.name, made.after) == ("steep_s", 140)
    assert change("more extraction", CONE, estimate_cup(CONE), bought) is None


def test_a_step_that_moves_next_to_nothing_is_not_proposed() -> None:
    """Fine grounds give all they have within minutes (Moroney et al. 2016)."""
    fine = replace(PRESS, grind="fine", steep_s=240)
    assert change("more extraction", fine, estimate_cup(fine), ANY) is None


@given(
    kind=st.sampled_from(bounds.BREWER_KINDS),
    dose_g=st.floats(*bounds.DOSE_G),
    water_g=st.floats(*bounds.WATER_G),
    bypass_g=st.floats(*bounds.BYPASS_G),
    steep_s=st.none() | st.integers(*bounds.STEEP_S),
    grind=st.sampled_from(bounds.GRINDS_OR_NONE),
    capacity_g=st.none() | st.floats(*bounds.CAPACITY_G),
    lever=st.sampled_from(sorted(EFFECTS)),
)
def test_whatever_is_proposed_can_be_brewed_and_goes_the_right_way(
    kind: str, dose_g: float, water_g: float, bypass_g: float, steep_s: int | None, grind: str,
    capacity_g: float | None, lever: Lever,
) -> None:  # fmt: skip
    cup = Cup(kind, dose_g, water_g, bypass_g, 0.0, 91.0, steep_s, grind=grind)
    made = change(lever, cup, estimate_cup(cup), Gear(capacity_g, grinder=True))
    if made is None:
        return
    up = lever in ("stronger", "more extraction")
    assert (made.becomes > made.was) == up
    other = replace(cup, **{made.name: made.after})
    estimate_cup(other)  # within its bounds
    if made.name == "water_g":
        assert other.water_g <= (capacity_g or bounds.WATER_G[1])
    if lever in ("more extraction", "less extraction"):
        assert (modelled_extraction(other) > modelled_extraction(cup)) == up
