"""One way to refuse a number: a sentence that names it, its limits and its unit."""


def require(label: str, value: float, limits: tuple[float, float], unit: str = "") -> None:
    """Raise ValueError with a sentence unless ``value`` lies within ``limits`` (NaN never does)."""
    low, high = limits
    if not low <= value <= high:
        tail = f" {unit}" if unit else ""
        raise ValueError(f"{label} must be between {low:.10g} and {high:.10g}{tail}.")
