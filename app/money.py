"""Money is stored in whole minor units (cents); how many make one depends on the currency."""

from decimal import ROUND_HALF_UP, Decimal


def decimals(currency: str) -> int:
    """Digits after the point, by the CLDR currency data (JPY 0, EUR 2, KWD 3)."""
    from babel.numbers import get_currency_precision

    return int(get_currency_precision(currency))


def to_minor(amount: float, currency: str) -> int:
    """An amount in minor units, halves rounded away from zero."""
    scaled = Decimal(str(amount)).scaleb(decimals(currency))
    return int(scaled.to_integral_value(ROUND_HALF_UP))


def from_minor(minor: int, currency: str) -> float:
    """Minor units as an amount."""
    return float(Decimal(minor).scaleb(-decimals(currency)))


def is_currency(code: str) -> bool:
    """Whether CLDR knows this currency code."""
    from babel.numbers import is_currency

    return bool(is_currency(code))
