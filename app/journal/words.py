"""Words that several pages say: a brew in one line, and the caution about reused papers."""

from datetime import datetime
from typing import Protocol

from app.formats import Formats


class Named(Protocol):
    """Any row with what the line says, such as `NamedBrew` or `BrewRow`."""

    @property
    def bean_name(self) -> str: ...
    @property
    def brewed_at(self) -> datetime: ...
    @property
    def zone(self) -> str: ...
    @property
    def dose_g(self) -> float: ...
    @property
    def water_g(self) -> float: ...


def brew_in_words(row: Named, formats: Formats) -> str:
    """Its bean, when, and how much."""
    made = f"{formats.grams(row.dose_g)} in {formats.grams(row.water_g)}"
    return f"{row.bean_name}, {formats.moment(row.brewed_at, row.zone)}, {made}"


PAPER_CAUTION = (
    "Using a paper once is the safe default: no authority's rule on reusing damp paper was found. "
    "Rinse and dry a reused one, throw damp paper away the same day, and never use one that "
    "smells or is spotted."
)
