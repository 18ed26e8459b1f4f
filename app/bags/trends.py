"""A bag's cups over its days: the charts of ratio, strength and liking, each with its sentence."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.bags.cups import BagCup
from app.brewing.ranged import Ranged
from app.charts.bag_trend import Points, TrendLine, bag_trend
from app.charts.figure import Figure
from app.sensory.scores.trend import LEAST_POINTS, trend

Rows = Sequence[tuple[BagCup, float | Ranged, str]]


@dataclass(frozen=True)
class BagChart:
    """A figure, its rows (cup, value, kind), and what may be said of it."""

    id: str
    title: str
    figure: Figure
    rows: Rows
    said: Sequence[str]


def bag_charts(cups: Sequence[BagCup], x_title: str) -> list[BagChart]:
    """The charts that have something to show; cups run from the oldest on."""
    charts = [_liking(cups, x_title), _strength(cups, x_title), _ratio(cups, x_title)]
    return [chart for chart in charts if chart.rows]


def _liking(cups: Sequence[BagCup], x_title: str) -> BagChart:
    rows = [
        (cup, liking, kind)
        for cup in cups
        for kind, liking in (("sighted", cup.sighted), ("blind", cup.blind))
        if liking is not None
    ]
    figure, said = _with_trend(
        [_points("sighted", rows), _points("blind", rows)],
        [(cup, liking) for cup in cups if (liking := cup.brew.row.liking) is not None],
        "liking",
        x_title,
        "liking, 1–9",
        (0.5, 9.5),
    )
    return BagChart("chart-liking", "Liking over the bag's days", figure, rows, said)


def _strength(cups: Sequence[BagCup], x_title: str) -> BagChart:
    known = [(cup, pct) for cup in cups if (pct := cup.brew.estimate.strength_pct)]
    rows = [
        (cup, pct, "measured" if cup.brew.estimate.measured else "estimated") for cup, pct in known
    ]
    figure, said = _with_trend(
        [_points("measured", rows), _points("estimated", rows)],
        [(cup, pct.value) for cup, pct in known],
        "strength (% TDS)",
        x_title,
        "strength, % TDS",
    )
    measured = sum(cup.brew.estimate.measured for cup, _ in known)
    if measured < len(known):
        said.append(
            f"{measured} of these {len(known)} strengths were measured. The rest are "
            "estimates from ratio, time and grind: they show what was brewed, not what the meter "
            "would say."
        )
    return BagChart("chart-strength", "Strength over the bag's days", figure, rows, said)


def _ratio(cups: Sequence[BagCup], x_title: str) -> BagChart:
    points = [(cup, cup.brew.estimate.ratio) for cup in cups]
    days = [cup.day for cup in cups]
    figure, said = _with_trend(
        [Points("ratio", days, [ratio for _, ratio in points])],
        points,
        "ratio",
        x_title,
        "brew water to dose, g/g",
    )
    rows = [(cup, ratio, "") for cup, ratio in points]
    return BagChart("chart-ratio", "Ratio over the bag's days", figure, rows, said)


def _with_trend(
    kinds: Sequence[Points],
    points: Sequence[tuple[BagCup, float]],
    what: str,
    x_title: str,
    y_title: str,
    y_range: tuple[float, float] | None = None,
) -> tuple[Figure, list[str]]:
    """The figure with its trend line, and the sentences that go with it."""
    days, values = [cup.day for cup, _ in points], [value for _, value in points]
    found = trend(days, values, what=what, per="day")
    line = None
    sentences = [f"A trend asks for at least {LEAST_POINTS} cups, on more than one day."]
    if found is not None:
        line = TrendLine(found.intercept, found.slope, clear=found.low > 0 or found.high < 0)
        sentences = [found.sentence, *found.cautions]
    guide = found.guide if found else ()
    return bag_trend(
        kinds, x_title=x_title, y_title=y_title, y_range=y_range, line=line, guide=guide
    ), sentences


def _points(kind: str, rows: Rows) -> Points:
    shown = [(cup.day, value) for cup, value, of in rows if of == kind]
    ranges = [value for _, value in shown if isinstance(value, Ranged)]
    return Points(
        kind,
        [day for day, _ in shown],
        [value.value if isinstance(value, Ranged) else value for _, value in shown],
        [pct.low for pct in ranges],
        [pct.high for pct in ranges],
    )
