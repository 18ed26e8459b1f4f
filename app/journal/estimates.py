"""Strength and extraction of the journal's brews, with what its latest measured and weighed brews
have taught of each brewer and grinder."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.brewing.strength.calibration import (
    DRIP_PRIOR_SD,
    PRIOR_SD,
    Calibration,
    Retained,
    learn,
    learn_retained,
    retention_from_weighed,
)
from app.brewing.strength.cup import Cup
from app.brewing.strength.estimate import Estimate, estimate_cup, measured_over_estimated
from app.brewing.strength.extraction import FORMULAS
from app.database import while_unchanged
from app.journal.rows import columns_of, rows_as
from app.models import Brew, Brewer

LATEST_MEASURED = 400
# Brews that a calibration or a retention is learned from, the newest of them.
MOST_LEARNED_FROM = 40
# Our own rule: very short brews extract less than the model says and would mislead for the rest.
LEAST_RATIO = 5.0

BrewerAndGrinder = tuple[int, int | None]


class MeasuredRow(NamedTuple):
    """What an estimate needs: the fields of `Cup` in order, and what to look up for it."""

    kind: str
    dose_g: float
    water_g: float
    bypass_g: float
    ice_g: float
    water_temp_c: float | None
    steep_s: int | None
    press_s: int | None
    grind: str
    beverage_g: float | None
    tds_pct: float | None
    brewer_id: int
    grinder_id: int | None


ESTIMATE_COLUMNS = columns_of(MeasuredRow, Brew, kind=Brewer.kind)


@dataclass(frozen=True)
class Learned:
    """Calibration by brewer and grinder, retention by brewer."""

    calibrations: dict[BrewerAndGrinder, Calibration]
    retained: dict[int, Retained]


def cup_of(row: MeasuredRow) -> Cup:
    return Cup(*row[:11])


def estimate_of(row: MeasuredRow, learned: Learned) -> Estimate:
    """Strength and extraction of a brew."""
    calibration = learned.calibrations.get((row.brewer_id, row.grinder_id))
    return _estimate(row, calibration, learned.retained.get(row.brewer_id))


@lru_cache(maxsize=8192)
def _estimate(
    row: MeasuredRow, calibration: Calibration | None, retained: Retained | None
) -> Estimate:
    """Cached, since one recipe gives many equal brews and a bag's page is opened often."""
    return estimate_cup(cup_of(row), calibration, retained)


def learned(session: Session) -> Learned:
    """What the journal's measured brews teach, kept until it is next written to."""
    return while_unchanged(session, "learned", lambda: learn_from(_measured_rows(session)))


def learn_from(rows: Iterable[MeasuredRow]) -> Learned:
    """Learn from measured brews, newest first."""
    by_brewer: dict[int, list[MeasuredRow]] = {}
    for row in rows:
        by_brewer.setdefault(row.brewer_id, []).append(row)
    calibrations: dict[BrewerAndGrinder, Calibration] = {}
    retained: dict[int, Retained] = {}
    for brewer_id, brews in by_brewer.items():
        retention = _retention(brews)
        if retention is not None:
            retained[brewer_id] = retention
        for grinder_id in {row.grinder_id for row in brews}:
            of_pair = [row for row in brews if row.grinder_id == grinder_id]
            calibrations[brewer_id, grinder_id] = _calibration(of_pair, retention)
    return Learned(calibrations, retained)


def _calibration(rows: Sequence[MeasuredRow], retention: Retained | None) -> Calibration:
    usual = [row for row in rows if row.water_g >= LEAST_RATIO * row.dose_g]
    ratios = [_ratio(row, retention) for row in usual[:MOST_LEARNED_FROM]]
    prior = DRIP_PRIOR_SD if FORMULAS[rows[0].kind] == "drip" else PRIOR_SD
    return learn([ratio for ratio in ratios if ratio is not None], prior)


def _retention(rows: Sequence[MeasuredRow]) -> Retained | None:
    """From brews weighed with nothing added after brewing."""
    if FORMULAS[rows[0].kind] == "none":
        return None
    weighed = [row for row in rows if row.beverage_g and not row.bypass_g and not row.ice_g]
    held = [grams for row in weighed if (grams := _held(row)) is not None]
    return learn_retained(held[:MOST_LEARNED_FROM], rows[0].kind) if held else None


# Cached, since leaving out each brew in turn learns from the same ones again and again.
@lru_cache(maxsize=8192)
def _ratio(row: MeasuredRow, retention: Retained | None) -> float | None:
    return measured_over_estimated(cup_of(row), retention)


@lru_cache(maxsize=8192)
def _held(row: MeasuredRow) -> float | None:
    """Grams of water held by a gram of grounds, in a weighed brew with nothing added to it."""
    cup = cup_of(row)
    extraction_pct = estimate_cup(cup).extraction_pct
    if extraction_pct is None or cup.beverage_g is None:
        return None
    return retention_from_weighed(
        cup.dose_g, cup.water_g, cup.beverage_g, extraction_pct.value / 100
    )


def _measured_rows(session: Session) -> list[MeasuredRow]:
    query = (
        select(*ESTIMATE_COLUMNS)
        .join(Brewer, Brewer.id == Brew.brewer_id)
        .where(Brew.tds_pct.is_not(None), Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc())
        .limit(LATEST_MEASURED)
    )
    return rows_as(MeasuredRow, session, query)
