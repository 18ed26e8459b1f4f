"""Filters at a wanted use: which one is nearest, and how many brews it still needs."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from app.brewing.sitting.plan import FilterAmount
from app.brewing.sitting.wanted import FilterWanted
from app.journal.on_hand import OnHand

FRESH = "a fresh one"


@dataclass(frozen=True, slots=True)
class Nearest:
    """The filter for one brew: its name, how many brews it still needs; None where none gets there.

    `is_fresh` is one still in its pack.
    """

    name: str
    brews: int | None
    is_fresh: bool = False


Assigned = Mapping[FilterWanted, Sequence[Nearest]]


def nearest(
    wanted: Iterable[FilterAmount], hand: Sequence[OnHand], left: Mapping[int, int]
) -> Assigned:
    """For each wanted use as many different filters as there shall be, that need the fewest brews
    all together. `hand` are filters not retired, `left` is how many are still in each pack."""
    found: dict[FilterWanted, list[Nearest]] = {}
    free = sorted(hand, key=lambda row: (-row.uses, row.filter_number))
    in_pack = Counter(left)
    # The lowest use first, each with the most used that is not past it: exact, since whatever
    # fits a lower use fits a higher one, too. Who takes any takes what is left.
    for one in sorted(wanted, key=lambda one: (one.wanted.use is None, one.wanted.use or 0)):
        found[one.wanted] = [_take(one.wanted, free, in_pack) for _ in _times(one.count)]
    return found


def _times(count: int) -> Iterator[None]:
    yield from [None] * count


def _take(wanted: FilterWanted, free: list[OnHand], in_pack: Counter[int]) -> Nearest:
    fits = (
        row
        for row in free
        if row.pack_id == wanted.pack_id and (wanted.use is None or row.uses < wanted.use)
    )
    if row := next(fits, None):
        free.remove(row)
        return Nearest(row.name, (wanted.use - 1 - row.uses) if wanted.use else 0)
    if in_pack[wanted.pack_id] > 0:
        in_pack[wanted.pack_id] -= 1
        return Nearest(FRESH, (wanted.use or 1) - 1, is_fresh=True)
    return Nearest("", None)
