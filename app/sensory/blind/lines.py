"""The lines of a rule for stopping: which counts end a test, how, and after how many trials."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from app.sensory.lazy import Bools, Integers, np

Way = Literal["shown", "other way", "close enough", "undecided"]


@dataclass(frozen=True)
class Band:
    """For n = 1, 2, ...: counts from `low` to `high` end a test this way; low > high for none."""

    end: Way
    low: tuple[int, ...]
    high: tuple[int, ...]


@dataclass(frozen=True)
class Lines:
    """Bands over the same trials; where two hold, the one named first."""

    bands: tuple[Band, ...]

    @property
    def most(self) -> int:
        """Trials they reach to."""
        return len(self.bands[0].low)

    @property
    def shown(self) -> tuple[int, ...]:
        """The least count that shows a difference (the way it was named); above n for none."""
        (band,) = (band for band in self.bands if band.end == "shown")
        return band.low

    def of(self, end: Way) -> Band | None:
        """The first band that ends a test this way."""
        return next((band for band in self.bands if band.end == end), None)


def two_lines(shown: tuple[int, ...], ended: tuple[int, ...], end: Way = "close enough") -> Lines:
    """The least count that shows, and the greatest that ends a test otherwise (-1 for none)."""
    last = tuple(range(1, len(shown) + 1))
    return Lines((Band("shown", shown, last), Band(end, (0,) * len(shown), ended)))


def four_lines(
    shown: tuple[int, ...], other: tuple[int, ...], least: tuple[int, ...], most: tuple[int, ...]
) -> Lines:
    """Shown at the least count or, the other way round, the greatest; close enough between two."""
    trials, zero = tuple(range(1, len(shown) + 1)), (0,) * len(shown)
    return Lines(
        (
            Band("shown", shown, trials),
            Band("other way", zero, other),
            Band("close enough", least, most),
        )
    )


def least_count(holds: Callable[[Integers], Bools], n: Integers) -> Integers:
    """For each n the least count from 0 to n for which `holds`, else n + 1; by bisection."""
    low, high = np.zeros_like(n), n + 1
    while (low < high).any():
        middle = (low + high) // 2
        enough = (middle > n) | holds(np.minimum(middle, n))
        low, high = (
            np.where(enough | (low == high), low, middle + 1),
            np.where(enough, middle, high),
        )
    return low


def plain(counts: Integers) -> tuple[int, ...]:
    """Counts as Python's own integers."""
    return tuple(counts.tolist())
