"""Rest: days since a bag was roasted, with the days it lay frozen counted apart."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

Span = tuple[date, date | None]


@dataclass(frozen=True, slots=True)
class Rest:
    """Together the days since the roast; `days` is negative before it: a date was mistyped."""

    days: int
    frozen_days: int


def rest_on(day: date, roasted_on: date | None, frozen: Iterable[Span]) -> Rest | None:
    """The rest of a bag on a day; None when its roast day is not known.

    A span from the 3rd to the 5th is two days; one without an end lasts till `day`. Spans may
    overlap, and count once. That coffee stands still in the freezer is common practice, no source.
    """
    if roasted_on is None:
        return None
    held = _days_within(frozen, roasted_on, day)
    return Rest((day - roasted_on).days - held, held)


def _days_within(spans: Iterable[Span], first: date, last: date) -> int:
    """Days of [first, last) that lie in any of the spans."""
    total, counted_to = 0, first
    for start, end in sorted((start, end or last) for start, end in spans):
        start, end = max(start, counted_to), min(end, last)
        if end > start:
            total += (end - start).days
            counted_to = end
    return total
