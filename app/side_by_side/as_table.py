"""Saved side by sides as a table."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.formats import Formats
from app.journal.as_table import Column, columns, in_batches, in_zone, of_part
from app.journal.pairs.saved import SavedPair
from app.journal.told import Apart, pairs_apart

# As stored, whatever the household reads: plain numbers with a point.
PLAIN = Formats(space=" ")


@dataclass(frozen=True, slots=True)
class PairLine:
    pair: SavedPair
    apart: Apart


def pair_lines(session: Session, pairs: Iterable[SavedPair]) -> Iterator[PairLine]:
    for batch in in_batches(pairs):
        apart = pairs_apart(session, [(row.brew_a_id, row.brew_b_id) for row in batch], PLAIN)
        for row in batch:
            yield PairLine(row, apart[row.brew_a_id, row.brew_b_id])


def _pair(line: PairLine) -> SavedPair:
    return line.pair


LOCAL = {
    "brewed_a_local": Column[SavedPair](
        "brewed_a_local", lambda pair, _zone: in_zone(pair.brewed_a, pair.zone_a)
    ),
    "brewed_b_local": Column[SavedPair](
        "brewed_b_local", lambda pair, _zone: in_zone(pair.brewed_b, pair.zone_b)
    ),
}
PAIR_COLUMNS: list[Column[PairLine]] = [
    *of_part(_pair, (LOCAL.get(one.name, one) for one in columns("side_by_side", SavedPair))),
    Column("differs", lambda line, _zone: line.apart.words),
    Column("verdict", lambda line, _zone: line.apart.verdict),
]
