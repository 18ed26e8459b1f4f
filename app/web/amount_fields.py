"""The fields of how a cup is made, declared once for brews, recipes and worksheets."""

from dataclasses import asdict

from wtforms import BooleanField, Form

from app.brewing import bounds
from app.models.recipes import Amounts
from app.web.fields import DurationField, NumberField, WordField


class PouredFields(Form):
    """Dose and waters."""

    dose_g = NumberField("Dose", bounds=bounds.DOSE_G, unit="g", required=True)
    water_g = NumberField("Brew water", bounds=bounds.WATER_G, unit="g", required=True)
    bypass_g = NumberField("Bypass water", bounds=bounds.BYPASS_G, unit="g")


class AmountFields(PouredFields):
    """All that goes in."""

    ice_g = NumberField("Ice", bounds=bounds.ICE_G, unit="g")


class HowFields(Form):
    """How it is brewed, as far as the estimate asks."""

    grind = WordField("Grind", bounds.GRINDS, default="medium")
    water_temp_c = NumberField("Water temperature", bounds=bounds.WATER_TEMP_C, unit="°C")
    steep_s = DurationField("Steep", bounds=bounds.STEEP_S)
    press_s = DurationField("Press", bounds=bounds.PRESS_S)
    stirs = NumberField("Stirs", bounds=bounds.STIRS, whole=True)


class BrewingFields(AmountFields, HowFields):
    """All that recipes and brews have in common: the fields of `Amounts`."""

    flipped = BooleanField("Flipped (brewer upside down while it steeps)")


def amounts_data(values: Amounts) -> dict[str, float | str | None]:
    """Data for a form with these fields: no bypass and no ice leave theirs empty."""
    data = asdict(values)
    return data | {name: data[name] or None for name in ("bypass_g", "ice_g")}
