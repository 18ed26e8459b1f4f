"""How far a bag still goes, and what its cups cost."""

from __future__ import annotations

import pytest

from app.bags.cups import BrewsLeft, brews_left, cup_price_minor


@pytest.mark.parametrize(
    ("left_g", "doses", "expected"),
    [
        (44.0, [11.0], BrewsLeft(4, 4, 11.0, 11.0)),
        (43.9, [11.0], BrewsLeft(3, 3, 11.0, 11.0)),
        (100.0, [10.0, 11.0, 30.0], BrewsLeft(3, 10, 10.0, 30.0)),
        (100.0, [10.0, 11.0, 11.5, 12.0, 30.0], BrewsLeft(8, 9, 11.0, 12.0)),  # one odd dose
        (25.0, [12.0, 13.0], BrewsLeft(1, 2, 12.0, 13.0)),
        (5.0, [11.0], BrewsLeft(0, 0, 11.0, 11.0)),
        (-20.0, [11.0], BrewsLeft(0, 0, 11.0, 11.0)),
        (None, [11.0], None),
        (100.0, [], None),
    ],
)
def test_whole_brews_left_at_the_greatest_and_least_usual_dose(
    left_g: float | None, doses: list[float], expected: BrewsLeft | None
) -> None:
    assert brews_left(left_g, doses) == expected


def test_a_last_whole_brew_survives_the_rounding_of_subtraction() -> None:
    left_g = 30.9 - 10.3 - 10.3
    assert left_g < 10.3  # by a hair: a plain floor would say that no brew is left
    assert brews_left(left_g, [10.3]) == BrewsLeft(1, 1, 10.3, 10.3)


def test_the_mean_cup_pays_for_its_own_grams() -> None:
    assert cup_price_minor(1000, 250.0, 30.0, 2) == 60.0
    assert cup_price_minor(None, 250.0, 30.0, 2) is None
    assert cup_price_minor(1000, None, 30.0, 2) is None
    assert cup_price_minor(1000, 250.0, 0.0, 0) is None
