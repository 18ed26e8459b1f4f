"""The settings of a brew like any other."""

from __future__ import annotations

from app.journal.pairs.setup import Setup

PLAIN = Setup(
    bag_id=1, age_days=12, first_brewer_id=1, stack=(("paper", 1),), use=3, grinder_id=1,
    grind="medium", grind_setting="14.5", dose_g=11.0, water_g=200.0, bypass_g=0.0, ice_g=0.0,
    water_id=1, water_temp_c=94.0, steep_s=120, press_s=28, press_effort=2, flipped=False, stirs=3,
)  # fmt: skip
