"""Both orders of the ranking as one table."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from app.journal.as_table import columns
from app.journal.ranking.orders import Order


class RankLine(NamedTuple):
    """`island` numbers recipes that preferences link; only these are ranked against each other.

    `worth` is in log-odds, with its 95 % range; `chance_best_of_its_island` lies between 0 and 1.
    """

    tasted: str
    island: int
    place: int
    recipe_id: int
    recipe: str
    revisions: int
    preferred: int
    not_preferred: int
    worth: float
    worth_low: float
    worth_high: float
    chance_best_of_its_island: float | None


RANK_COLUMNS = columns("rank", RankLine)


def rank_lines(orders: Iterable[Order]) -> Iterator[RankLine]:
    for order in orders:
        tasted = "blind" if order.blind else "sighted"
        for number, island in enumerate(order.islands, start=1):
            for place, one in enumerate(island, start=1):
                of = one.ranked
                yield RankLine(
                    tasted, number, place, one.recipe.id, one.recipe.name, one.revisions, of.won,
                    of.lost, of.worth, of.low, of.high, of.best if len(island) > 1 else None,
                )  # fmt: skip
