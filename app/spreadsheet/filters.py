"""Which filter each line of a sheet was brewed through, from its name and the use it notes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

from app.spreadsheet.brews import SheetBrew
from app.text import search_text

CLOTH = ("cloth", "cotton", "flannel", "linen", "stoff", "tuch")
METAL = ("metal", "steel", "mesh", "metall", "gold", "stahl")


@dataclass
class OneFilter:
    """A filter, the uses it had before its first line, and its lines by their numbers."""

    prior_uses: int = 0
    lines: list[int] = field(default_factory=list)
    last_on: date | None = None
    retired_on: date | None = None

    @property
    def uses(self) -> int:
        return self.prior_uses + len(self.lines)


@dataclass
class FilterKind:
    """Filters of one name, as they would come from one pack, in the order they were taken."""

    name: str
    filters: list[OneFilter] = field(default_factory=list)

    @property
    def material(self) -> str:
        words = search_text(self.name)
        if any(word in words for word in CLOTH):
            return "cloth"
        return "metal" if any(word in words for word in METAL) else "paper"


def filters_of(brews: list[SheetBrew]) -> list[FilterKind]:
    """The filters of brews that are in order of their time.

    A line that notes a use goes on with the filter that had one use less, the latest of that name;
    use 1 is a fresh one. Where no use is noted a paper is fresh, cloth and metal are one filter.
    One that a fresh one took the place of is retired on its last day.
    """
    kinds: dict[str, FilterKind] = {}
    for brew in brews:
        name = brew.names["filter"]
        if name:
            _put(kinds.setdefault(search_text(name), FilterKind(name)), brew)
    for kind in kinds.values():
        for one in kind.filters[:-1]:
            one.retired_on = one.last_on
    return list(kinds.values())


def _put(kind: FilterKind, brew: SheetBrew) -> None:
    one = next((one for one in _candidates(kind, brew.filter_use)), None)
    if one is None:
        one = OneFilter(prior_uses=(brew.filter_use or 1) - 1)
        kind.filters.append(one)
    one.lines.append(brew.number)
    one.last_on = brew.brewed_on


def _candidates(kind: FilterKind, use: int | None) -> Iterator[OneFilter]:
    if use is None:
        yield from kind.filters[-1:] if kind.material != "paper" else []
    elif use > 1:
        yield from (one for one in reversed(kind.filters) if one.uses == use - 1)
