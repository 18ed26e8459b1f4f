"""Each measured brew of the demo, estimated from all the others.

The demo's strengths come from a hidden model of other make than the estimator (see
seed_demo/truth.py), so this says how the learning copes with a household it was not made for;
it does not say how well any real kitchen is met.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from statistics import fmean

import pytest
from sqlalchemy import select

from app.brewing.strength.estimate import estimate_cup
from app.journal.estimates import ESTIMATE_COLUMNS
from app.journal.lessons import Learned, MeasuredRow, cup_of, learn_from
from app.journal.rows import rows_as
from app.models import Brew, Brewer


@dataclass(frozen=True)
class LeftOut:
    """Misses in points of TDS, without and with what the other brews teach."""

    plain: float
    calibrated: float
    in_range: bool


@pytest.fixture
def left_out(demo) -> list[LeftOut]:
    query = (
        select(*ESTIMATE_COLUMNS)
        .join(Brewer, Brewer.id == Brew.brewer_id)
        .where(Brew.tds_pct.is_not(None), Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc())
    )
    rows = rows_as(MeasuredRow, demo, query)
    weighed = [row for row in rows if row.beverage_g and not row.bypass_g and not row.ice_g]
    return [
        leave_out(
            row,
            learn_from(rows[:n] + rows[n + 1 :], [other for other in weighed if other is not row]),
        )
        for n, row in enumerate(rows)
    ]


def leave_out(row, others: Learned) -> LeftOut:
    unmeasured = replace(cup_of(row), tds_pct=None, brix=None)
    gear = (row.first_brewer_id, row.grinder_id)
    plain = estimate_cup(unmeasured).strength_pct
    learned = estimate_cup(
        unmeasured, others.calibrations.get(gear), others.retained.get(row.first_brewer_id)
    ).strength_pct
    return LeftOut(
        abs(plain.value - row.tds_pct),
        abs(learned.value - row.tds_pct),
        learned.low <= row.tds_pct <= learned.high,
    )


def test_enough_brews_are_measured(left_out):
    assert 60 <= len(left_out) <= 90


def test_calibration_halves_the_miss(left_out):
    plain = fmean(one.plain for one in left_out)
    assert plain > 0.08, "the household must be one that the published values do not fit"
    assert fmean(one.calibrated for one in left_out) <= plain / 2


def test_the_shown_range_holds_most_brews_but_is_no_blanket(left_out):
    assert 0.85 <= fmean(one.in_range for one in left_out) <= 0.99
