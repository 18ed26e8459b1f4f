"""What the app itself calls impossible is not learned from, and the reason is said."""

from dataclasses import replace

import pytest

from app.brewing.strength import left_out, notes
from app.brewing.strength.cup import Cup
from app.brewing.strength.left_out import why_not_its_strength, why_not_its_weight

CONE = Cup("cone", 15.0, 250.0, water_temp_c=93.0, beverage_g=222.0, tds_pct=1.35)
POT = Cup("immersion", 15.0, 250.0, water_temp_c=93.0, steep_s=240.0, stirs=2, tds_pct=1.25)


@pytest.mark.parametrize(
    ("cup", "reason"),
    [
        (CONE, ""),
        (POT, ""),
        (replace(POT, water_g=60.0, tds_pct=5.0), ""),  # teaches its like
        (replace(CONE, tds_pct=3.1), notes.ABOVE_SOLUBLE),  # 46 %
        (replace(POT, tds_pct=3.1), notes.ABOVE_SOLUBLE),
        (replace(CONE, beverage_g=290.0), notes.HEAVY_BEVERAGE),
        (replace(CONE, beverage_g=255.0, tds_pct=1.1), left_out.HEAVIER),
        (replace(CONE, bypass_g=80.0, beverage_g=70.0), notes.LIGHT_BEVERAGE),
        (replace(CONE, beverage_g=None, tds_pct=20.0), notes.IMPOSSIBLE),
        (replace(POT, tds_pct=0.12), left_out.FAR_FROM_ANY),  # the point slipped
        (Cup("other", 15.0, 250.0, tds_pct=1.3), notes.NO_MODEL),
    ],
)
def test_fault_5_an_impossible_strength_teaches_nothing_and_says_why(cup, reason):
    assert why_not_its_strength(cup) == reason


@pytest.mark.parametrize(
    ("beverage_g", "reason"),
    [
        (222.0, ""), (None, ""), (251.0, left_out.HEAVIER), (249.0, left_out.HELD_TOO_ODD),
        (150.0, left_out.HELD_TOO_ODD),
    ],
)  # fmt: skip
def test_fault_5_a_beverage_heavier_than_what_was_poured_teaches_no_retention(beverage_g, reason):
    assert why_not_its_weight(replace(CONE, tds_pct=None, beverage_g=beverage_g)) == reason
