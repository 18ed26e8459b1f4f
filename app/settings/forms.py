"""The form for how values are written."""

from wtforms import BooleanField, Form, SelectField
from wtforms.validators import ValidationError

from app.brewing import bounds
from app.models.settings import CAFFEINE_LIMITS, MASS_UNITS, TEMP_UNITS, VOLUME_UNITS
from app.web.fields import CurrencyField, LineField, NumberField, WordField

# CLDR names; what matters is the decimal sign they write.
LOCALES = {"en": "11.5 (point)", "de": "11,5 (comma)"}


class SettingsForm(Form):
    locale = SelectField("Decimal sign", choices=LOCALES, validate_choice=False)
    mass_unit = WordField("Weight", MASS_UNITS)
    volume_unit = WordField("Volume", VOLUME_UNITS)
    temp_unit = WordField("Temperature", TEMP_UNITS)
    currency = CurrencyField("Currency, three letters", longest=3, required=True)
    kettle_efficiency_pct = NumberField(
        "Kettle efficiency", bounds=bounds.KETTLE_EFFICIENCY_PCT, unit="%", required=True
    )
    caffeine = BooleanField("Show caffeine through the day")
    caffeine_limit = WordField("Published limit to set it against", CAFFEINE_LIMITS)
    first_steps = BooleanField("Show the first steps on Today until they are done")

    def validate_locale(self, field: SelectField) -> None:
        if field.data not in LOCALES:
            raise ValidationError("Please choose one from the list.")


class BackupFolderForm(Form):
    folder = LineField("Folder", longest=1000)
