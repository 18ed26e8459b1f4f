"""Brewers, grinders and waters as one table; what one kind has no value of is empty."""

from collections.abc import Iterable
from dataclasses import dataclass, fields
from datetime import date

from app.gear.queries import ListedGear
from app.journal.as_table import Column
from app.journal.gear import GearRow
from app.models import Brewer, Grinder, Water
from app.models.gear import BrewerValues, GrinderValues, WaterValues


@dataclass(frozen=True, slots=True)
class GearLine:
    kind: str
    gear: GearRow
    last_on: date | None


def gear_lines(
    brewers: Iterable[ListedGear[Brewer]],
    grinders: Iterable[ListedGear[Grinder]],
    waters: Iterable[ListedGear[Water]],
) -> list[GearLine]:
    return [
        *(GearLine("brewer", row.gear, row.last_on) for row in brewers),
        *(GearLine("grinder", row.gear, row.last_on) for row in grinders),
        *(GearLine("water", row.gear, row.last_on) for row in waters),
    ]


def _value(name: str, head: str) -> Column[GearLine]:
    return Column(head, lambda row, _zone: getattr(row.gear, name, None))


HEADS = {"kind": "brewer_kind", "scale": "grinder_scale"}
NOTED = dict.fromkeys(
    one.name for values in (BrewerValues, GrinderValues, WaterValues) for one in fields(values)
)
GEAR_COLUMNS: list[Column[GearLine]] = [
    Column("kind", lambda row, _zone: row.kind),
    Column("gear_id", lambda row, _zone: row.gear.id),
    *(_value(name, HEADS.get(name, name)) for name in NOTED),
    _value("alike_to_id", "alike_to_brewer_id"),
    Column("last_used_on", lambda row, _zone: row.last_on),
]
