"""What a kitchen scale, a kettle and a hand can keep to, in the unit of the name; our own rule."""

TOLERANCES: dict[str, float] = {
    "dose_g": 0.2,
    "water_g": 1.0,
    "bypass_g": 1.0,
    "ice_g": 1.0,
    "water_temp_c": 1.0,
    "steep_s": 5.0,
    "press_s": 5.0,
    "press_effort": 1.0,
    "age_days": 3.0,
}
