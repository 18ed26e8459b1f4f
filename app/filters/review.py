"""The review of one filter: its uses, their numbers, gaps and cost, and how to keep it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import chain
from typing import NamedTuple

from sqlalchemy.orm import Session

from app.charts.figure import Chart
from app.charts.filter_uses import filter_uses
from app.filters import queries
from app.filters.queries import UsedIn
from app.formats import ordinal
from app.journal.packs import filter_price
from app.journal.uses import PAPER_CAUTION
from app.models import Filter
from app.sensory.scores.trend import trend
from app.web.formats import formats

LEAST_POINTS = 2
WASH = {
    "cloth": (
        "Wash it after each use, let it dry, and discard it when it smells or is spotted even "
        "then (common practice, no source)."
    ),
    "metal": "Wash it after each use, both sides, and let it dry (common practice, no source).",
}


@dataclass(frozen=True, slots=True)
class UseRow:
    """One use: the brew's row, which use it was, days since the one before."""

    brew: UsedIn
    number: int
    gap_days: int | None


class Measure(NamedTuple):
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
class FilterReview:
    """`uses` are the latest, newest first; `total` counts all, those before the journal too.

    `cup_price` is in the pack's currency, `cup_mass_g` the grams of filter to a cup; `charts` are
    by the column drawn.
    """

    uses: Sequence[UseRow]
    total: int
    cup_price: float | None
    cup_mass_g: float | None
    charts: dict[str, Chart]

    @property
    def last_on(self) -> date | None:
        return self.uses[0].brew.brewed_on if self.uses else None


def review(session: Session, used: Filter) -> FilterReview:
    total = used.prior_uses + queries.count_uses(session, used.id)
    uses = number_uses(queries.latest_uses(session, used.id), total)
    shown = uses[: queries.MOST_USES]
    price, mass_g = filter_price(used.pack), used.pack.mass_g
    return FilterReview(
        shown,
        total,
        cup_price=price / total if price is not None and total else None,
        cup_mass_g=mass_g / total if mass_g is not None and total else None,
        charts=_charts(shown[::-1]),
    )


def number_uses(newest_first: Sequence[UsedIn], total: int) -> list[UseRow]:
    """Use numbers counted down from the newest, and the days between each and the one before."""
    befores = chain(newest_first[1:], [None])
    return [
        UseRow(brew, total - place, (brew.brewed_on - before.brewed_on).days if before else None)
        for place, (brew, before) in enumerate(zip(newest_first, befores, strict=False))
    ]


def _charts(uses: Sequence[UseRow]) -> dict[str, Chart]:
    """Charts of what at least two uses have a value for; uses run from the oldest on."""
    charts = {}
    for column, what, head, y_title, y_range in MEASURES:
        points = [(use, value) for use in uses if (value := getattr(use.brew, column)) is not None]
        if len(points) < LEAST_POINTS:
            continue
        numbers, values = [use.number for use, _ in points], [value for _, value in points]
        found = trend(numbers, values, what=what, per="use")
        said = [found.sentence, *found.cautions] if found else []
        charts[column] = Chart(
            f"{what.capitalize()} by use",
            filter_uses(numbers, values, y_title=y_title, y_range=y_range),
            ["Use", "Day", head],
            [
                [ordinal(use.number), formats().day(use.brew.brewed_on), formats().number(value, 1)]
                for use, value in points
            ],
            " ".join(said) or "A trend asks for at least 5 uses.",
        )
    return charts


def care(material: str, uses: int, last_on: date | None, today: date) -> Sequence[str]:
    """Sentences for a filter that is not retired; the general caution comes first."""
    if material != "paper":
        return (WASH[material],)
    if not uses:
        return (PAPER_CAUTION,)
    if last_on is None or last_on >= today:
        return (PAPER_CAUTION, "Used today: rinse it and let it dry through, or discard it.")
    days = (today - last_on).days
    lain = "since yesterday" if days == 1 else f"for {days} days"
    return (
        PAPER_CAUTION,
        f"This one has lain {lain}. Is it still damp, does it smell, is it spotted? Discard it.",
    )
