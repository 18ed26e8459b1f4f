"""Strength and extraction of the journal's brews, with what its latest measured and weighed brews
have taught of each brewer and grinder."""

from functools import lru_cache

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session

from app.brewing.strength.calibration import Calibration
from app.brewing.strength.difference import Known
from app.brewing.strength.estimate import Estimate, estimate_cup
from app.brewing.strength.retention import Retained
from app.database import while_unchanged
from app.journal.lessons import Learned, MeasuredRow, brewer_and_grinder, cup_of, learn_from
from app.journal.rows import columns_of, rows_as
from app.models import Brew, Brewer

# The newest measured brews, and the newest weighed ones, that are looked at.
LATEST = 400
ESTIMATE_COLUMNS = columns_of(MeasuredRow, Brew, kind=Brewer.kind, first_brewer_id=Brewer.first_id)


def known_of(row: MeasuredRow, learned: Learned) -> Known:
    """What was learned of a brew's brewer and grinder."""
    calibration = learned.calibrations.get(brewer_and_grinder(row))
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
