"""The review of one filter: its uses, their numbers and gaps, and what they cost."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain

from sqlalchemy.orm import Session

from app.charts.figure import Figure
from app.charts.filter_uses import filter_uses
from app.filters import queries
from app.filters.queries import UsedIn
from app.journal.packs import filter_price
from app.models import Filter
from app.sensory.scores.trend import trend

LEAST_POINTS = 2


@dataclass(frozen=True, slots=True)
class UseRow:
    """One use: the brew's row, which use it was, days since the one before."""

    brew: UsedIn
    number: int
    gap_days: int | None


@dataclass(frozen=True)
class Measure:
    """What is drawn by use number: a column of the brew, and its words."""

    column: str
    what: str
    head: str
    y_title: str
    y_range: tuple[float, float] | None = None


MEASURES = (
    Measure("press_s", "press time (s)", "Press, s#", "press time, s"),
    Measure("press_effort", "press effort", "Effort#", "press effort, 1–5", (0.5, 5.5)),
    Measure("liking", "liking", "Liking#", "liking, 1–9", (0.5, 9.5)),
)


@dataclass(frozen=True)
class UseChart:
    """A figure, its (use, value) rows, and what may be said of it."""

    measure: Measure
    figure: Figure
    rows: Sequence[tuple[UseRow, float]]
    said: Sequence[str]


@dataclass(frozen=True)
class FilterReview:
    """`uses` are the latest, newest first; `total` counts all, those before the journal too."""

    uses: Sequence[UseRow]
    total: int
    cup_price: float | None
    cup_mass_g: float | None
    charts: Sequence[UseChart]


def review(session: Session, used: Filter) -> FilterReview:
    """`cup_price` is in the pack's currency, `cup_mass_g` the grams of filter to a cup."""
    total = used.prior_uses + queries.count_uses(session, used.id)
    uses = number_uses(queries.latest_uses(session, used.id), total)
    shown = uses[: queries.MOST_USES]
    pack = used.pack
    price = filter_price(pack)
    return FilterReview(
        shown,
        total,
        cup_price=price / total if price is not None and total else None,
        cup_mass_g=pack.mass_g / total if pack.mass_g is not None and total else None,
        charts=_charts(shown[::-1]),
    )


def number_uses(newest_first: Sequence[UsedIn], total: int) -> list[UseRow]:
    """Use numbers counted down from the newest, and the days between each and the one before."""
    befores = chain(newest_first[1:], [None])
    return [
        UseRow(brew, total - place, (brew.brewed_on - before.brewed_on).days if before else None)
        for place, (brew, before) in enumerate(zip(newest_first, befores, strict=False))
    ]


def _charts(uses: Sequence[UseRow]) -> list[UseChart]:
    """Charts of what at least two uses have a value for; uses run from the oldest on."""
    charts = [_chart(measure, uses) for measure in MEASURES]
    return [chart for chart in charts if len(chart.rows) >= LEAST_POINTS]


def _chart(measure: Measure, uses: Sequence[UseRow]) -> UseChart:
    measured = ((use, getattr(use.brew, measure.column)) for use in uses)
    rows = [(use, value) for use, value in measured if value is not None]
    numbers, values = [use.number for use, _ in rows], [value for _, value in rows]
    found = trend(numbers, values, what=measure.what, per="use")
    figure = filter_uses(numbers, values, y_title=measure.y_title, y_range=measure.y_range)
    said = [found.sentence, *found.cautions] if found else []
    return UseChart(measure, figure, rows, said)
