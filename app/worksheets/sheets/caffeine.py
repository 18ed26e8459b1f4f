"""Caffeine of today's cups, and what is left of it through the day; only where it is wanted."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session
from wtforms.form import BaseForm

from app.brewing.caffeine import (
    EXPECTING_HALF_LIFE_H,
    HALF_LIFE_H,
    LAST_WEEKS_HALF_LIFE_H,
    cautions,
    left_mg,
    together,
)
from app.brewing.plans.compare import BeanFacts, expect
from app.brewing.ranged import Ranged
from app.charts.curves import caffeine_day
from app.charts.figure import Figure
from app.journal.lessons import Learned, MeasuredRow, cup_of
from app.web import clock
from app.web.fields import NumberField, WordField
from app.web.formats import formats
from app.worksheets import queries
from app.worksheets.page import read_url
from app.worksheets.proposal import Proposal
from app.worksheets.queries import CaffeineRow, CaffeineRows

SHARE_PCT = (0.0, 100.0)
# Where the household has chosen the limit for pregnancy and nursing: how long half of it takes.
STAGES = {
    "pregnant": EXPECTING_HALF_LIFE_H,
    "in the last four weeks": LAST_WEEKS_HALF_LIFE_H,
    "nursing": HALF_LIFE_H,
}
STEP = timedelta(minutes=20)
HOUR_S = 3600.0


@dataclass(frozen=True)
class Left:
    """Caffeine in the body at a moment; `ahead` when that moment is still to come."""

    at: datetime
    mg: Ranged
    ahead: bool


@dataclass(frozen=True)
class Day:
    """Today's brews with what was drunk of each (mg), and the sum.

    `left`, from the first cup to midnight, counts yesterday's too.
    """

    cups: Sequence[tuple[CaffeineRow, Ranged]]
    total: Ranged
    now: Ranged
    left: Sequence[Left]
    cautions: Sequence[str]
    expecting: bool
    half_life_h: Ranged
    zone: str
    yesterday: int
    figure: Figure
    proposals: Sequence[Proposal] = ()


def rows_of_today(session: Session) -> tuple[CaffeineRows, CaffeineRows]:
    """Yesterday's brews and today's, oldest first."""
    today = clock.today()
    rows = queries.cups_since(session, today)
    before = [(brew, cup) for brew, cup in rows if brew.brewed_on < today]
    return before, [(brew, cup) for brew, cup in rows if brew.brewed_on == today]


def share_form(rows: CaffeineRows, expecting: bool) -> BaseForm:
    """For each brew of today the share of it that was drunk; who is expecting says how far on."""
    zone = clock.browser_zone()
    stages = tuple(STAGES)
    fields: dict[str, Any] = (
        {"stage": WordField("Now", stages, default=stages[0])} if expecting else {}
    )
    for brew, _ in rows:
        label = f"Drunk of {brew.name}, {formats().hour(brew.brewed_at, zone)}"
        fields[f"share_{brew.id}"] = NumberField(label, bounds=SHARE_PCT, unit="%", default=100.0)
    form = BaseForm(fields)
    form.process()
    read_url(form)
    return form


def day_of(
    form: BaseForm, before: CaffeineRows, rows: CaffeineRows, learned: Learned, expecting: bool
) -> Day:
    zone, now = clock.browser_zone(), clock.now()
    cups = []
    for brew, cup in rows:
        share_pct = form[f"share_{brew.id}"].data
        share = 1.0 if share_pct is None else share_pct / 100.0
        cups.append((brew, _brewed_mg(brew, cup, learned).times(share)))
    half_life_h = STAGES[form["stage"].data] if expecting else HALF_LIFE_H
    at_cups, drunk_mg = [brew.brewed_at for brew, _ in cups], [mg for _, mg in cups]
    earlier = [(brew.brewed_at, _brewed_mg(brew, cup, learned)) for brew, cup in before]
    drunk = [*earlier, *zip(at_cups, drunk_mg, strict=True)]
    left = [Left(at, _left(drunk, at, half_life_h), at > now) for at in _times(at_cups, now, zone)]
    return Day(
        cups,
        together(drunk_mg),
        _left(drunk, now, half_life_h),
        left,
        cautions(drunk_mg, expecting),
        expecting,
        half_life_h,
        zone,
        len(before),
        caffeine_day(
            [_wall(moment.at, zone) for moment in left],
            [moment.mg for moment in left],
            _wall(now, zone),
            [_wall(at, zone) for at in at_cups],
        ),
    )


def _wall(at: datetime, zone: str) -> str:
    return f"{clock.wall_time(at, zone):%Y-%m-%d %H:%M}"


def _brewed_mg(brew: CaffeineRow, cup: MeasuredRow, learned: Learned) -> Ranged:
    calibration = learned.calibrations.get((cup.first_brewer_id, cup.grinder_id))
    beans = BeanFacts(brew.robusta_pct, brew.decaf)
    return expect(
        cup_of(cup), beans, calibration, learned.retained.get(cup.first_brewer_id)
    ).caffeine_mg


def _left(drunk: Sequence[tuple[datetime, Ranged]], at: datetime, half_life_h: Ranged) -> Ranged:
    before = [((at - when).total_seconds() / HOUR_S, mg) for when, mg in drunk if when <= at]
    return left_mg(before, half_life_h)


def _times(cups: Sequence[datetime], now: datetime, zone: str) -> list[datetime]:
    """From the first cup to midnight, each cup and now among them."""
    first, tomorrow = min([*cups, now]), clock.today() + timedelta(days=1)
    midnight = datetime.combine(tomorrow, time(), ZoneInfo(zone))
    count = max(0, int((midnight - first) / STEP))
    return sorted({*(first + n * STEP for n in range(count + 1)), *cups, now})
