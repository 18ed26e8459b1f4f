"""The URL that opens the brew form filled in, as a person would have typed it."""

from dataclasses import fields

from app.formats import typed_duration
from app.models.recipes import Amounts
from app.web.formats import formats

AMOUNTS = {field.name for field in fields(Amounts)} - {"flipped"}
# What a blind trial was poured from arrives in the form's URL, as a worksheet's answer does.
OF_A_TRIAL = {"trial_id", "cup", "brewed_at"}

FROM_URL = AMOUNTS | OF_A_TRIAL | {"brewer_id", "bag_id", "revision_id", "grind_setting", "note"}
# Numbers by the unit they are stored in.
UNITS = {
    "dose_g": "g", "water_g": "g", "bypass_g": "g", "ice_g": "g", "water_temp_c": "°C", "stirs": "",
}  # fmt: skip


def as_typed(name: str, value: float | str | None) -> str:
    """A value of the brew form's field `name`, in the household's units."""
    if value is None:
        return ""
    if name in UNITS:
        return formats().typed(float(value), UNITS[name])
    return typed_duration(int(value)) if name in {"steep_s", "press_s"} else str(value)
