"""A bag's cups over its days: the charts of ratio, strength and liking, each with its sentence."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.bags.cups import BagCup
from app.brewing.ranged import Ranged
from app.charts.bag_trend import Points, TrendLine, bag_trend
from app.charts.figure import Figure
from app.sensory.scores.trend import LEAST_POINTS, trend


@dataclass(frozen=True)
class BagChart:
    """A figure, its rows (cup, value, kind), and what may be said of it."""

    id: str
    title: str
    figure: Figure
    rows: Sequence[tuple[BagCup, float | Ranged, str]]
    said: Sequence[str]


def bag_charts(cups: Sequence[BagCup], x_title: str) -> list[BagChart]:
    """The charts that have something to show; cups run from the oldest on."""
    if not cups:
        return []
    charts = [_liking(cups, x_title), _strength(cups, x_title), _ratio(cups, x_title)]
    return [chart for chart in charts if chart.rows]


def _liking(cups: Sequence[BagCup], x_title: str) -> BagChart:
    sighted = [(cup, cup.sighted, "sighted") for cup in cups if cup.sighted is not None]
    blind = [(cup, cup.blind, "blind") for cup in cups if cup.blind is not None]
    scored = [(cup, cup.liking) for cup in cups if cup.liking is not None]
    figure, said = _with_trend(
        [_points("sighted", sighted), _points("blind", blind)],
        scored,
        "liking",
        x_title,
        "liking, 1–9",
        (0.5, 9.5),
    )
    rows = sorted(sighted + blind, key=lambda point: point[0].row.brewed_at)
    return BagChart("chart-liking", "Liking over the bag's days", figure, rows, said)


def _strength(cups: Sequence[BagCup], x_title: str) -> BagChart:
    known = [(cup, cup.estimate.strength_pct) for cup in cups if cup.estimate.strength_pct]
    measured = [(cup, pct, "measured") for cup, pct in known if cup.estimate.measured]
    estimated = [(cup, pct, "estimated") for cup, pct in known if not cup.estimate.measured]
    figure, said = _with_trend(
        [_ranged("measured", measured), _ranged("estimated", estimated)],
        [(cup, pct.value) for cup, pct in known],
        "strength (% TDS)",
        x_title,
        "strength, % TDS",
    )
    if estimated:
        said.append(
            f"{len(measured)} of these {len(known)} strengths were measured. The rest are "
            "estimates from ratio, time and grind: they show what was brewed, not what the meter "
            "would say."
        )
    rows = sorted(measured + estimated, key=lambda point: point[0].row.brewed_at)
    return BagChart("chart-strength", "Strength over the bag's days", figure, rows, said)


def _ratio(cups: Sequence[BagCup], x_title: str) -> BagChart:
    rows = [(cup, cup.estimate.ratio, "") for cup in cups]
    figure, said = _with_trend(
        [_points("ratio", rows)],
        [(cup, value) for cup, value, _ in rows],
        "ratio",
        x_title,
        "brew water to dose, g/g",
    )
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
    figure = bag_trend(
        kinds,
        x_title=x_title,
        y_title=y_title,
        y_range=y_range,
        line=line,
        guide=found.guide if found else (),
    )
    return figure, sentences


def _points(name: str, points: Sequence[tuple[BagCup, float, str]]) -> Points:
    return Points(name, [cup.day for cup, _, _ in points], [value for _, value, _ in points])


def _ranged(name: str, points: Sequence[tuple[BagCup, Ranged, str]]) -> Points:
    ranges = [pct for _, pct, _ in points]
    return Points(
        name,
        [cup.day for cup, _, _ in points],
        [pct.value for pct in ranges],
        [pct.low for pct in ranges],
        [pct.high for pct in ranges],
    )
