"""What each folded row of the brew form says of itself before it is opened."""

from __future__ import annotations

from typing import Any

from wtforms import Field, SelectField

from app.brews.forms import BrewForm
from app.formats import DASH, Formats
from app.web.fields import NumberField

ROWS = {
    "bag": ("bag_id", "new_bean"),
    "filter": ("filter_1", "filter_2", "filter_3"),
    "amounts": ("dose_g", "water_g"),
    "added": ("bypass_g", "ice_g"),
    "grind": ("grind", "grind_setting", "grinder_id"),
    "water": ("water_temp_c", "water_id"),
    "times": ("steep_s", "press_s", "press_effort", "flipped", "stirs"),
    "brewer": ("brewer_id", "new_brewer_kind", "revision_id"),
    "measured": ("beverage_g", "tds_pct"),
    "when": ("brewed_at",),
    "note": ("note", "photo"),
}
SHORT = {"flipped": "flipped", "press_effort": "effort {}", "stirs": "{} stirs"}


def sayings(form: BrewForm, formats: Formats) -> dict[str, str]:
    """One line a row: its filled values in order, or a dash."""
    said = {}
    for row, names in ROWS.items():
        parts = [_said(form[name], formats) for name in names]
        said[row] = " · ".join(part for part in parts if part) or DASH
    if form.brewed_at.data is None:
        said["when"] = "now"
    return said


def open_rows(form: BrewForm) -> set[str]:
    """Rows that hold something to be mended."""
    return {row for row, names in ROWS.items() if any(form[name].errors for name in names)}


def _said(field: Field, formats: Formats) -> str:
    value = field.data
    if value is None or value is False or value == "":
        return ""
    name = field.short_name
    if name in SHORT:
        return SHORT[name].format(value)
    if hasattr(field, "iter_choices"):
        return _chosen(field)
    if name in ("steep_s", "press_s"):
        return formats.clock(value)
    if name == "brewed_at":
        return f"{formats.day(value)}, {value:%H:%M}"
    if isinstance(field, NumberField):
        return formats.amount(value, field.stored_unit, 2)
    return str(value)[:40] if isinstance(value, str) else ""


def _chosen(field: SelectField | Any) -> str:
    for choice in field.iter_choices():
        if choice[0] == field.data and choice[0] not in ("", None):
            first, _, second = str(choice[1]).partition("\n")
            return f"{first}, {second.partition(' · ')[0]}" if second else first
    return ""
