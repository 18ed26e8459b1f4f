"""How much each taster's scores of one recipe differ from cup to cup, from the whole journal."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from typing import NamedTuple

from sqlalchemy import Date, Float, bindparam, cast, func, select
from sqlalchemy.orm import Session

from app.database import while_unchanged
from app.journal.bags import frozen_spans
from app.journal.pairs.brews import BREW_COLUMNS, BrewRow, with_setup
from app.journal.pairs.pair import setup_of, with_stack
from app.journal.pairs.scores import repeat_groups
from app.journal.rows import Query, columns_of, rows_as
from app.journal.tastings import counted
from app.journal.uses import uses_of_brews
from app.models import Brew, Taster, Tasting
from app.sensory.scores.repeats import Repeat, Spread, spread_of_repeats

MOST_BREWS = 400  # the latest scored ones
LEAST_SCORED = 0.9


@dataclass(frozen=True, slots=True)
class Repeats:
    """A taster's spread between repeats, of days of their own and on one day; None without any.

    They scored `scored` of the `brews` that were made meanwhile.
    """

    taster_id: int
    name: str
    days_apart: Spread | None
    one_day: Spread | None
    scored: int = 0
    brews: int = 0

    @property
    def leaves_out(self) -> bool:
        """So many cups have no score of theirs that the scores may not stand for all."""
        return self.scored < LEAST_SCORED * self.brews

    @property
    def spreads(self) -> list[Spread]:
        return [one for one in (self.days_apart, self.one_day) if one]


class _Score(NamedTuple):
    brew_id: int
    taster_id: int
    taster_name: str
    liking: float


class _Share(NamedTuple):
    taster_id: int
    scored: int
    brews: int


def own_repeats(session: Session) -> Mapping[int, Repeats]:
    """By taster, from the latest scored brews; worked out once for as long as nothing changes."""
    return while_unchanged(session, "own repeats", lambda: _own_repeats(session))


def beside_a_difference(session: Session, tasters: Mapping[int, str]) -> list[str]:
    """What to read a difference of these tasters' scores beside: a sentence for each, by name."""
    known = own_repeats(session)
    by_name = sorted(tasters.items(), key=lambda row: row[1])
    return [_sentence(known.get(taster_id), name) for taster_id, name in by_name]


def _sentence(of: Repeats | None, name: str) -> str:
    if of is None or not of.spreads:
        return f"{name} has not scored one recipe twice yet, so how well they repeat is not known."
    told = [f"{spread.sd:.1f} points ({spread.basis})" for spread in of.spreads]
    return f"Cups of one recipe, scored by {name}, scatter by {' and '.join(told)}."


def _own_repeats(session: Session) -> dict[int, Repeats]:
    rows = rows_as(BrewRow, session, _scored_brews(), {"most": MOST_BREWS})
    rows.reverse()
    spans = frozen_spans(session, {row.bag_id for row in rows})
    scored = {row.id: setup_of(row, spans.get(row.bag_id, ())) for row in rows}
    # Filters are looked up only for brews that agree in everything else.
    nearly = {brew_id for group in repeat_groups(scored) for brew_id in group}
    stacks = uses_of_brews(session, nearly)
    alike = {n: with_stack(own, stacks.get(n, ())) for n, own in scored.items() if n in nearly}
    days = {row.id: row.brewed_on for row in rows}
    likings = rows_as(_Score, session, _likings(), {"ids": sorted(nearly)}) if nearly else []
    since = {"since": rows[0].brewed_on} if rows else {}
    shares = {
        row.taster_id: row for row in (rows_as(_Share, session, _shares(), since) if rows else ())
    }
    found = _by_taster(repeat_groups(alike), days, likings)
    return {
        n: replace(one, scored=shares[n].scored, brews=shares[n].brews) if n in shares else one
        for n, one in found.items()
    }


def _by_taster(
    groups: Sequence[Sequence[int]], days: Mapping[int, date], likings: Sequence[_Score]
) -> dict[int, Repeats]:
    names = {score.taster_id: score.taster_name for score in likings}
    of: dict[int, dict[int, float]] = {taster_id: {} for taster_id in names}
    for score in likings:
        of[score.taster_id][score.brew_id] = score.liking
    found = {}
    for taster_id, own in of.items():
        repeats = [[Repeat(days[n], own[n]) for n in group if n in own] for group in groups]
        apart, one_day = (spread_of_repeats(repeats, one_day=one) for one in (False, True))
        together = one_day if one_day and one_day.one_day else None
        found[taster_id] = Repeats(taster_id, names[taster_id], apart, together)
    return found


@cache
def _scored_brews() -> Query:
    is_scored = select(Tasting.id).where(
        Tasting.brew_id == Brew.id, *counted(), Tasting.liking.is_not(None)
    )
    query = with_setup(select(*BREW_COLUMNS)).where(Brew.binned_at.is_(None), is_scored.exists())
    newest = query.order_by(Brew.brewed_at.desc(), Brew.id.desc())
    return newest.limit(bindparam("most"))


@cache
def _shares() -> Query:
    """Of each taster, how many brews they scored from a day on, and how many there were since their
    first of these."""
    scores = (
        select(
            Tasting.taster_id,
            func.count(Tasting.brew_id.distinct()).label("scored"),
            func.min(Brew.brewed_on).label("first_on"),
        )
        .join(Brew, Brew.id == Tasting.brew_id)
        .where(Brew.brewed_on >= bindparam("since", type_=Date), Brew.binned_at.is_(None))
        .where(*counted(), Tasting.liking.is_not(None))
        .group_by(Tasting.taster_id)
        .subquery()
    )
    since = (
        select(func.count())
        .where(Brew.brewed_on >= scores.c.first_on, Brew.binned_at.is_(None))
        .correlate(scores)
        .scalar_subquery()
    )
    return select(scores.c.taster_id, scores.c.scored, since.label("brews"))


@cache
def _likings() -> Query:
    """The mean liking of each brew by each taster."""
    mean = cast(func.avg(Tasting.liking), Float)
    return (
        select(*columns_of(_Score, Tasting, taster_name=Taster.name, liking=mean))
        .join(Taster, Taster.id == Tasting.taster_id)
        .where(
            Tasting.brew_id.in_(bindparam("ids", expanding=True)),
            *counted(),
            Tasting.liking.is_not(None),
        )
        .group_by(Tasting.brew_id, Tasting.taster_id, Taster.name)
        .order_by(Tasting.brew_id)
    )
