"""Names as a table, of all kinds together."""

from collections.abc import Iterable
from typing import NamedTuple

from app.journal.as_table import columns
from app.journal.names.listing import Named


class NameLine(NamedTuple):
    """`row_id` is the number of the taster or bean; a roaster has none. What does not apply to a
    kind is empty."""

    kind: str
    row_id: int | None
    name: str
    roaster_origin_and_process: str
    tastings: int | None
    blind_tests: int | None
    beans: int | None
    bags: int | None
    brews: int | None


NAME_COLUMNS = columns("name", NameLine)


def name_lines(names: Iterable[Named]) -> list[NameLine]:
    return [_line(one) for one in names]


def _line(one: Named) -> NameLine:
    of = {what: count for count, what in one.counts}
    return NameLine(
        one.kind, None if one.kind == "roaster" else one.id, one.name, one.more,
        of.get("tasting"), of.get("blind test"), of.get("bean"), of.get("bag"), of.get("brew"),
    )  # fmt: skip
