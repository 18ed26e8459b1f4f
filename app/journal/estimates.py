"""Strength and extraction of journal brews: the pure sums, with what the journal has learned.

What is learned comes from the latest measured and weighed brews of each brewer and grinder. It
is kept until the journal is next written to, since every page with a brew on it asks for it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

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
from app.models import Brew, Brewer

LATEST_MEASURED = 400
MOST_OF_A_KIND = 40
# Our own rule: very short brews extract less than the model says and would mislead for the rest.
LEAST_RATIO = 5.0

Gear = tuple[int, int | None]


@dataclass(frozen=True)
class Learned:
    """Calibration by (brewer, grinder), retention by brewer."""

    calibrations: dict[Gear, Calibration]
    retained: dict[int, Retained]


CUP_COLUMNS = (
    Brew.dose_g,
    Brew.water_g,
    Brew.bypass_g,
    Brew.ice_g,
    Brew.water_temp_c,
    Brew.steep_s,
    Brew.press_s,
    Brew.grind,
    Brew.beverage_g,
    Brew.tds_pct,
)
ESTIMATE_COLUMNS = (*CUP_COLUMNS, Brew.brewer_id, Brew.grinder_id, Brewer.kind)


def cup_values(row: Any) -> tuple[Any, ...]:
    """The fields of `Cup` in order, from a row that carries ESTIMATE_COLUMNS."""
    return (
        row.kind, row.dose_g, row.water_g, row.bypass_g, row.ice_g, row.water_temp_c,
        row.steep_s, row.press_s, row.grind, row.beverage_g, row.tds_pct,
    )  # fmt: skip


def cup_of(row: Any) -> Cup:
    return Cup(*cup_values(row))


def estimate_of(row: Any, learned: Learned) -> Estimate:
    """The estimate of a row that carries ESTIMATE_COLUMNS."""
    calibration = learned.calibrations.get((row.brewer_id, row.grinder_id))
    return _read(cup_values(row), calibration, learned.retained.get(row.brewer_id))


@lru_cache(maxsize=8192)
def _read(
    values: tuple[Any, ...], calibration: Calibration | None, retained: Retained | None
) -> Estimate:
    """Kept, since one recipe gives many brews alike and one bag is looked back over often."""
    return estimate_cup(Cup(*values), calibration, retained)


def learned(session: Session) -> Learned:
    """What the journal's measured brews teach, read once for each state of the journal."""
    return while_unchanged(session, "learned", lambda: learn_from(_measured_rows(session)))


def learn_from(rows: Iterable[Any]) -> Learned:
    """Learn from rows that carry ESTIMATE_COLUMNS, newest first."""
    by_brewer: dict[int, list[Any]] = {}
    for row in rows:
        by_brewer.setdefault(row.brewer_id, []).append(row)
    calibrations: dict[Gear, Calibration] = {}
    retained: dict[int, Retained] = {}
    for brewer_id, own in by_brewer.items():
        held = _retention(own)
        if held is not None:
            retained[brewer_id] = held
        for grinder_id in {row.grinder_id for row in own}:
            of_pair = [row for row in own if row.grinder_id == grinder_id]
            calibrations[brewer_id, grinder_id] = _calibration(of_pair, held)
    return Learned(calibrations, retained)


def _calibration(rows: list[Any], held: Retained | None) -> Calibration:
    usual = [row for row in rows if row.water_g >= LEAST_RATIO * row.dose_g]
    ratios = [_ratio(cup_values(row), held) for row in usual[:MOST_OF_A_KIND]]
    prior = DRIP_PRIOR_SD if FORMULAS[rows[0].kind] == "drip" else PRIOR_SD
    return learn([ratio for ratio in ratios if ratio is not None], prior)


def _retention(rows: list[Any]) -> Retained | None:
    """From brews weighed with nothing added after brewing."""
    if FORMULAS[rows[0].kind] == "none":
        return None
    weighed = [row for row in rows if row.beverage_g and not row.bypass_g and not row.ice_g]
    held = [grams for row in weighed if (grams := _held(cup_values(row))) is not None]
    return learn_retained(held[:MOST_OF_A_KIND], rows[0].kind) if held else None


# Kept, since leaving out each brew in turn learns from the same ones again and again.
@lru_cache(maxsize=8192)
def _ratio(values: tuple[Any, ...], held: Retained | None) -> float | None:
    return measured_over_estimated(Cup(*values), held)


@lru_cache(maxsize=8192)
def _held(values: tuple[Any, ...]) -> float | None:
    """Grams held by a gram, of a brew that was weighed with nothing added to it."""
    cup = Cup(*values)
    of_dose = estimate_cup(cup).extraction_pct
    if of_dose is None or cup.beverage_g is None:
        return None
    return retention_from_weighed(cup.dose_g, cup.water_g, cup.beverage_g, of_dose.value / 100)


def _measured_rows(session: Session) -> list[Any]:
    query = (
        select(*ESTIMATE_COLUMNS)
        .join(Brewer, Brewer.id == Brew.brewer_id)
        .where(Brew.tds_pct.is_not(None), Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc())
        .limit(LATEST_MEASURED)
    )
    return list(session.execute(query))
