"""The URL that opens the brew form filled in, as a person would have typed it."""

from __future__ import annotations

OF_A_RECIPE = (
    "dose_g", "water_g", "bypass_g", "ice_g", "grind", "water_temp_c", "steep_s", "press_s",
    "stirs", "flipped",
)  # fmt: skip


# A worksheet's answer, or what a blind trial was poured from, arrives in the form's address.
OF_A_TRIAL = {"trial_id", "cup", "brewed_at"}


FROM_ADDRESS = {*OF_A_RECIPE, *OF_A_TRIAL, "brewer_id", "bag_id", "revision_id", "note"}
