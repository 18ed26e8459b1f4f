"""What each field of the brew form says of itself while its row is folded."""

from wtforms import BooleanField, Field
from wtforms.fields.choices import SelectFieldBase

from app.web.fields import DurationField, NumberField, StepsField, WallTimeField
from app.web.formats import formats


def field_in_words(field: Field) -> str:
    """What a field of the form holds; nothing where it is empty."""
    value = field.data
    if value is None or value is False or value == "":
        return ""
    name = field.label.text.lower()
    if isinstance(field, BooleanField):
        return name.partition(" (")[0]
    if isinstance(field, StepsField):
        return f"{name.rpartition(' ')[2]} {value}"
    if isinstance(field, SelectFieldBase):
        return _chosen(field)
    if isinstance(field, DurationField):
        return formats().clock(value)
    if isinstance(field, WallTimeField):
        return f"{formats().day(value)}, {value:%H:%M}"
    if isinstance(field, NumberField):
        amount = formats().amount(value, field.stored_unit, 2)
        return amount if field.stored_unit else f"{value} {name}"
    return value[:40] if isinstance(value, str) else ""


def _chosen(field: SelectFieldBase) -> str:
    for value, label, *_ in field.iter_choices():
        if value == field.data and value not in ("", None):
            first, _, second = str(label).partition("\n")
            return f"{first}, {second.partition(' · ')[0]}" if second else first
    return ""
