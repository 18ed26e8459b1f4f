"""A brew as the API tells it: what was noted, and what follows from it."""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import date, datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.brewing.ranged import Ranged
from app.journal.brews import ReadBrew, read_brews
from app.journal.rows import values_of
from app.models import Brew
from app.models.brews import BrewValues
from app.web.api.moments import local


@dataclass(frozen=True, slots=True)
class UsedFilter:
    """A filter of the stack, the lowest first; `use` 1 is its first."""

    filter_id: int
    pack_id: int
    name: str
    use: int
    days_since_use: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BrewAnswer(BrewValues):
    """A brew. `strength_pct` is in % TDS, `extraction_pct` in % of the dose; each with the range it
    may well lie in, and only `measured` where a meter showed the strength. `liking` is the mean of
    its tastings. `binned_at` is empty unless the brew is in the bin."""

    id: int
    entry_key: str
    brewed_at: datetime
    zone: str
    brewed_on: date
    bean_name: str
    recipe_name: str | None
    liking: float | None
    filters: list[UsedFilter]
    strength_pct: Ranged | None
    extraction_pct: Ranged | None
    measured: bool
    binned_at: datetime | None


def brew_answers(session: Session, brew_ids: Sequence[int]) -> list[BrewAnswer]:
    """The brews that there are of these, newest first."""
    rows = {row.id: row for row in session.scalars(select(Brew).where(Brew.id.in_(brew_ids)))}
    return [_answer(rows[read.row.id], read) for read in read_brews(session, brew_ids)]


def _answer(brew: Brew, read: ReadBrew) -> BrewAnswer:
    values = values_of(brew, BrewValues)
    return BrewAnswer(
        **{field.name: getattr(values, field.name) for field in fields(values)},
        id=brew.id,
        entry_key=brew.entry_key,
        brewed_at=local(brew.brewed_at, brew.zone),
        zone=brew.zone,
        brewed_on=brew.brewed_on,
        bean_name=read.row.bean_name,
        recipe_name=read.row.recipe_name,
        liking=read.row.liking,
        filters=[
            UsedFilter(use.filter_id, use.pack_id, use.name, use.number, use.gap_days)
            for use in read.stack
        ],
        strength_pct=read.estimate.strength_pct,
        extraction_pct=read.estimate.extraction_pct,
        measured=read.estimate.measured,
        binned_at=brew.binned_at,
    )
