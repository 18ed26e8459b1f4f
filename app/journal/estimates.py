"""Strength and extraction of the journal's brews, with what its latest measured and weighed brews
have taught of each brewer and grinder."""

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple, TypeVar

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session

from app.brewing.strength.calibration import Calibration, Taught, learn, taught
from app.brewing.strength.cup import Cup
from app.brewing.strength.difference import Known
from app.brewing.strength.estimate import Estimate, estimate_cup, measured_over_estimated
from app.brewing.strength.extraction import FORMULAS
from app.brewing.strength.left_out import FAR_FROM_OTHERS, why_not_its_strength, why_not_its_weight
from app.brewing.strength.retention import Retained, learn_retained, retention_from_weighed
from app.database import while_unchanged
from app.journal.rows import columns_of, rows_as
from app.models import Brew, Brewer

# The newest measured brews, and the newest weighed ones, that are looked at.
LATEST = 400
# Brews that a calibration or a retention is learned from, the newest of them.
MOST_LEARNED_FROM = 40

BrewerAndGrinder = tuple[int, int | None]
Key = TypeVar("Key", bound=Hashable)


class MeasuredRow(NamedTuple):
    """What an estimate needs: the fields of `Cup` in order, and what to look up for it.

    What is learned of a brewer is learned of all that are alike, and kept by the first of them.
    """

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
    stirs: int | None
    brix: float | None
    first_brewer_id: int
    grinder_id: int | None


ESTIMATE_COLUMNS = columns_of(MeasuredRow, Brew, kind=Brewer.kind, first_brewer_id=Brewer.first_id)


@dataclass(frozen=True)
class Learned:
    """Calibration by brewer and grinder, retention by brewer, and why some brews teach nothing.

    A brewer stands here for all that are alike, under the number of the first.
    """

    calibrations: Mapping[BrewerAndGrinder, Calibration]
    retained: Mapping[int, Retained]
    left_out: Mapping[MeasuredRow, str]


def cup_of(row: MeasuredRow) -> Cup:
    return Cup(*row[:13])


def known_of(row: MeasuredRow, learned: Learned) -> Known:
    """What was learned of a brew's brewer and grinder."""
    calibration = learned.calibrations.get((row.first_brewer_id, row.grinder_id))
    return Known(calibration, learned.retained.get(row.first_brewer_id))


def estimate_of(row: MeasuredRow, learned: Learned) -> Estimate:
    """Strength and extraction of a brew."""
    return _estimate(row, *known_of(row, learned))


@lru_cache(maxsize=8192)
def _estimate(
    row: MeasuredRow, calibration: Calibration | None, retained: Retained | None
) -> Estimate:
    """Cached, since one recipe gives many equal brews and a bag's page is opened often."""
    return estimate_cup(cup_of(row), calibration, retained)


def learned(session: Session) -> Learned:
    """What the journal's measured and weighed brews teach, kept until it is next written to."""
    return while_unchanged(
        session, "learned", lambda: learn_from(_measured_rows(session), _weighed_rows(session))
    )


def learn_from(measured: Iterable[MeasuredRow], weighed: Iterable[MeasuredRow]) -> Learned:
    """Learn from brews with a measured strength, and from weighed ones, newest first."""
    left_out: dict[MeasuredRow, str] = {}
    retained = {
        first_brewer_id: retention
        for first_brewer_id, rows in grouped(weighed, brewer).items()
        if (retention := _retention(rows, left_out)) is not None
    }
    calibrations = {
        pair: _calibration(rows, retained.get(pair[0]), left_out)
        for pair, rows in grouped(measured, brewer_and_grinder).items()
    }
    return Learned(calibrations, retained, left_out)


def brewer(row: MeasuredRow) -> int:
    return row.first_brewer_id


def brewer_and_grinder(row: MeasuredRow) -> BrewerAndGrinder:
    return row.first_brewer_id, row.grinder_id


def grouped(
    rows: Iterable[MeasuredRow], key: Callable[[MeasuredRow], Key]
) -> dict[Key, list[MeasuredRow]]:
    groups: dict[Key, list[MeasuredRow]] = {}
    for row in rows:
        groups.setdefault(key(row), []).append(row)
    return groups


def _calibration(
    rows: Sequence[MeasuredRow], retention: Retained | None, left_out: dict[MeasuredRow, str]
) -> Calibration:
    used: list[tuple[MeasuredRow, Taught]] = []
    for row in rows:
        lesson = _lesson(row, retention)
        if isinstance(lesson, str):
            left_out[row] = lesson
        elif len(used) < MOST_LEARNED_FROM:
            used.append((row, lesson))
    found = learn([lesson for _, lesson in used])
    for (row, _), count in zip(used, found.counts, strict=True):
        if not count:
            left_out[row] = FAR_FROM_OTHERS
    return found


def _retention(rows: Sequence[MeasuredRow], left_out: dict[MeasuredRow, str]) -> Retained | None:
    """From brews weighed with nothing added after brewing."""
    if FORMULAS[rows[0].kind] == "none":
        return None
    held = []
    for row in rows:
        if reason := why_not_its_weight(cup_of(row)):
            left_out[row] = reason
        elif row.beverage_g is not None:
            held.append(retention_from_weighed(row.dose_g, row.water_g, row.beverage_g))
    return learn_retained(held[:MOST_LEARNED_FROM], rows[0].kind) if held else None


# Cached, since leaving out each brew in turn learns from the same ones again and again.
@lru_cache(maxsize=8192)
def _lesson(row: MeasuredRow, retention: Retained | None) -> Taught | str:
    """What the brew teaches, or why it teaches nothing."""
    cup = cup_of(row)
    reason = why_not_its_strength(cup, retention)
    ratio = None if reason else measured_over_estimated(cup, retention)
    return reason if ratio is None else taught(cup, ratio)


def _measured_rows(session: Session) -> list[MeasuredRow]:
    return _newest(session, Brew.tds_pct.is_not(None))


def _weighed_rows(session: Session) -> list[MeasuredRow]:
    alone = Brew.bypass_g == 0, Brew.ice_g == 0
    return _newest(session, Brew.beverage_g.is_not(None), *alone)


def _newest(session: Session, *of: ColumnElement[bool]) -> list[MeasuredRow]:
    query = (
        select(*ESTIMATE_COLUMNS)
        .join(Brewer, Brewer.id == Brew.brewer_id)
        .where(*of, Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc())
        .limit(LATEST)
    )
    return rows_as(MeasuredRow, session, query)
