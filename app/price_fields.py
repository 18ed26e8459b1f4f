"""What something cost, typed as an amount and a currency, kept in minor units."""

from __future__ import annotations

from typing import Any

from wtforms import Form
from wtforms.validators import ValidationError

from .brewing import bounds
from .fields import LineField, NumberField
from .money import from_minor, is_currency, to_minor


class PriceForm(Form):
    price = NumberField("Price", bounds=bounds.PRICE_MINOR)
    currency = LineField("Currency, three letters", longest=3)

    def validate_price(self, field: NumberField) -> None:
        code, dearest = (self.currency.data or "").upper(), bounds.PRICE_MINOR[1]
        if field.data is None or not is_currency(code):
            return
        if to_minor(field.data, code) > dearest:
            raise ValidationError(f"Please stay within {from_minor(dearest, code):.10g} {code}.")

    def validate_currency(self, field: LineField) -> None:
        code = (field.data or "").upper()
        if not is_currency(code):
            raise ValidationError("Please write a currency's three letters, such as EUR or JPY.")
        field.data = code

    def priced(self) -> dict[str, Any]:
        """The columns of the row that was bought."""
        code, amount = str(self.currency.data), self.price.data
        minor = None if amount is None else to_minor(amount, code)
        return {"price_minor": minor, "currency": code}


def as_typed(price_minor: int | None, currency: str) -> dict[str, Any]:
    """The fields of a row, to be shown in its form again."""
    price = None if price_minor is None else from_minor(price_minor, currency)
    return {"price": price, "currency": currency}
