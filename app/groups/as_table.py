"""The scored cups of two groups as a table."""

from collections.abc import Iterator
from dataclasses import dataclass

from app.journal.as_table import Column, columns, of_part
from app.journal.groups.compared import Compared
from app.journal.groups.cups import CupRow


@dataclass(frozen=True, slots=True)
class GroupedCup:
    group: str
    cup: CupRow

    @property
    def zone(self) -> str:
        return self.cup.zone


def grouped_cups(compared: Compared) -> Iterator[GroupedCup]:
    """Each score that was compared, taster by taster, blind and sighted ones apart."""
    for stratum in compared.strata:
        for letter, side in (("A", stratum.a), ("B", stratum.b)):
            yield from (GroupedCup(letter, cup) for cup in side.cups)


def _cup(row: GroupedCup) -> CupRow:
    return row.cup


GROUP_COLUMNS: list[Column[GroupedCup]] = [
    Column("group", lambda row, _zone: row.group),
    *of_part(_cup, (
        one for one in columns("tasting", CupRow) if one.name not in ("in_a", "in_b")
    )),
]  # fmt: skip
