"""The fields of how a cup is made, declared once for brews, recipes and worksheets."""

from dataclasses import asdict

from wtforms import BooleanField, Form
from wtforms.validators import ValidationError

from app.brewing import bounds
from app.brewing.strength.extraction import tds_pct_of_brix
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

    grind = WordField("Grind", bounds.GRINDS_OR_NONE, default="")
    water_temp_c = NumberField("Water temperature", bounds=bounds.WATER_TEMP_C, unit="°C")
    steep_s = DurationField("Steep", bounds=bounds.STEEP_S)
    press_s = DurationField("Press", bounds=bounds.PRESS_S)
    stirs = NumberField("Stirs", bounds=bounds.STIRS, whole=True)


class MeasuredFields(Form):
    """A strength as the meter shows it, in % TDS or in °Brix."""

    tds_pct = NumberField("Measured strength", bounds=bounds.TDS_PCT, unit="% TDS")
    brix = NumberField("or read in °Brix", bounds=bounds.BRIX, unit="°Brix")

    def validate_brix(self, field: NumberField) -> None:
        only_one(self.tds_pct, field)

    @property
    def measured_pct(self) -> float | None:
        return in_pct(self.tds_pct, self.brix)


def only_one(tds_pct: NumberField, brix: NumberField) -> None:
    """Refuse a strength given in both units."""
    if tds_pct.data is not None and brix.data is not None:
        raise ValidationError("Fill in % TDS or °Brix, not both.")


def in_pct(tds_pct: NumberField, brix: NumberField) -> float | None:
    """A strength in % TDS, from whichever field was filled in."""
    return tds_pct.data if brix.data is None else tds_pct_of_brix(brix.data)


class BrewingFields(AmountFields, HowFields):
    """All that recipes and brews have in common: the fields of `Amounts`."""

    flipped = BooleanField("Flipped (brewer upside down while it steeps)")


def amounts_data(values: Amounts) -> dict[str, float | str | None]:
    """Data for a form with these fields: no bypass and no ice leave theirs empty, and a strength
    read in °Brix stands in that field alone."""
    data = asdict(values)
    data |= {name: data[name] or None for name in ("bypass_g", "ice_g")}
    return data | {"tds_pct": None} if data.get("brix") is not None else data
