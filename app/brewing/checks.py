"""One way to refuse a number: a sentence that names it, its limits and its unit."""

from .said import Amount, Said

DIGITS = 3


def require(label: str, value: float, limits: tuple[float, float], unit: str = "") -> None:
    """Raise ValueError with a sentence unless ``value`` lies within ``limits`` (NaN never does)."""
    low, high = limits
    if not low <= value <= high:
        ends = Amount(low, unit, DIGITS, bare=True), Amount(high, unit, DIGITS)
        raise ValueError(Said("{} must be between {} and {}.", label, *ends))
