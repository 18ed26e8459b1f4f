"""Brewers, grinders and waters: names to choose from, the latest brews made with one, writing."""

from collections import Counter
from collections.abc import Iterable
from typing import NamedTuple

from sqlalchemy import func, or_, select
from sqlalchemy.orm import InstrumentedAttribute, Session

from app.journal.alike import together
from app.journal.brews import ReadBrew, newest_ids, read_brews
from app.journal.rows import add_row, columns_of, rows_as
from app.models import Brew, Brewer, Grinder, Water
from app.models.gear import BrewerValues, GrinderValues, WaterValues

LATEST_BREWS = 10

Gear = type[Brewer] | type[Grinder] | type[Water]
GearRow = Brewer | Grinder | Water
GearValues = BrewerValues | GrinderValues | WaterValues
Used = InstrumentedAttribute[int] | InstrumentedAttribute[int | None]


def add_gear(session: Session, gear: Gear, values: GearValues) -> GearRow:
    """A new brewer, grinder or water, with values of its kind."""
    return add_row(session, gear(), values)


def usual_gear(session: Session) -> tuple[int | None, int | None]:
    """Brewer and grinder of the newest brew."""
    query = select(Brew.brewer_id, Brew.grinder_id).where(Brew.binned_at.is_(None))
    newest = session.execute(query.order_by(Brew.brewed_at.desc(), Brew.id.desc()).limit(1)).first()
    return (None, None) if newest is None else (newest.brewer_id, newest.grinder_id)


def pick_list(session: Session, gear: Gear, also: int | None = None) -> list[tuple[int, str]]:
    """(id, name) of gear to pick from, by name, and of `also` even if it is in the bin."""
    if gear is Brewer:
        return [(row.id, row.name) for row in brewers(session, also)]
    query = select(gear.id, gear.name).where(or_(gear.binned_at.is_(None), gear.id == also))
    rows = session.execute(query.order_by(func.lower(gear.name), gear.id))
    return [(row.id, row.name) for row in rows]


class BrewerRow(NamedTuple):
    """`first_id` is the first of those that are alike: the same for all of them."""

    id: int
    first_id: int
    name: str
    kind: str
    capacity_g: float | None
    capacity_dose_g: float | None


def brewers(session: Session, also: int | None) -> list[BrewerRow]:
    """Brewers by name with what they hold, and `also` even if it is in the bin.

    Those that are alike stand beside each other; where names are the same, they are numbered.
    """
    query = select(*columns_of(BrewerRow, Brewer, first_id=Brewer.first_id))
    query = query.where(or_(Brewer.binned_at.is_(None), Brewer.id == also))
    rows = together(rows_as(BrewerRow, session, query), lambda row: row)
    counts: Counter[str] = Counter()
    for place, row in enumerate(rows):
        counts[row.name] += 1
        if counts[row.name] > 1:
            rows[place] = row._replace(name=f"{row.name} ({counts[row.name]})")
    return rows


class WaterRow(NamedTuple):
    """Hardness and alkalinity in mg/L as CaCO3."""

    id: int
    name: str
    hardness_mg_l: float
    alkalinity_mg_l: float | None


def waters(session: Session) -> list[WaterRow]:
    """Waters whose hardness is known, by name."""
    query = select(*columns_of(WaterRow, Water))
    query = query.where(Water.binned_at.is_(None), Water.hardness_mg_l.is_not(None))
    return rows_as(WaterRow, session, query.order_by(func.lower(Water.name), Water.id))


def gear_names(session: Session, gear: Gear, ids: Iterable[int | None]) -> dict[int | None, str]:
    """Names by id, those in the bin too."""
    query = select(gear.id, gear.name).where(gear.id.in_({row_id for row_id in ids if row_id}))
    return {row.id: row.name for row in session.execute(query)}


def grinder_names(session: Session, ids: Iterable[int | None]) -> dict[int | None, str]:
    """Names by id, those in the bin too; None is a brew without a grinder."""
    return {None: "No grinder noted"} | gear_names(session, Grinder, ids)


def latest_brews(session: Session, used: Used, row_id: int) -> list[ReadBrew]:
    """The newest brews whose column `used` points at a row."""
    return read_brews(session, newest_ids(session, LATEST_BREWS, used == row_id))
