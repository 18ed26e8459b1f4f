"""A value that is not known exactly."""

from typing import NamedTuple


class Ranged(NamedTuple):
    """A best value with the lowest and the highest it may well be, all in one unit."""

    value: float
    low: float
    high: float

    def times(self, factor: float) -> "Ranged":
        """The value and its range multiplied by ``factor``, which is zero or more."""
        return Ranged(*[end * factor for end in self])
