"""A bag's cups over its days: the charts of liking, strength and ratio, each with what is said."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from app.bags.cups import BagCup
from app.brewing.ranged import Ranged
from app.charts.figure import Figure
from app.charts.trend import Points, TrendLine, trend_chart
from app.journal.along import END_OF_BAG, LIKING_OF_BAG, Along, Told, Value, meaning_of
from app.journal.scores import OneTaster
from app.sensory.scores.trend_words import Measured, Said

Rows = Sequence[tuple[BagCup, float | Ranged, str]]

STRENGTH = Measured(
    "strength", "day with a measured strength", "days", END_OF_BAG, unit="points of TDS", digits=2
)
LEAST_POINTS = 2
NOTICED_PCT = 0.24  # % TDS; the least difference that drinkers were found to notice (Frost 2019)
SAME_RATIO = 0.05  # between the weakest and the strongest ratio; our own choice
METER = 0.01  # the last digit of a meter, in % TDS
SET_BY_YOU = (
    "The ratio is what was set, so no trend is looked for in it. Where it moved along with the "
    "days, the other charts say so."
)
ESTIMATED = (
    "Estimated strengths follow from what was set: they show what was brewed, not what a meter "
    "would say, so no trend is looked for in them. Their ranges stand in the numbers."
)


@dataclass(frozen=True)
class BagChart:
    """A figure, its rows (cup, value, kind), and what may be said of it."""

    id: str
    title: str
    figure: Figure
    rows: Rows
    said: Sequence[Said]
    flat: str = ""  # from what to what it hardly moved


def bag_charts(
    cups: Sequence[BagCup], scored: OneTaster, along: Along, x_title: str
) -> list[BagChart]:
    """The charts that have something to show, flat ones last; cups run from the oldest on."""
    charts = [
        _liking(cups, scored, along, x_title),
        _strength(cups, along, x_title),
        _ratio(cups, x_title),
    ]
    drawn = [chart for chart in charts if len(chart.rows) >= LEAST_POINTS]
    return sorted(drawn, key=lambda chart: bool(chart.flat))


def _liking(cups: Sequence[BagCup], scored: OneTaster, along: Along, x_title: str) -> BagChart:
    """One taster's scores, the sighted and the blind apart, in the order they were entered."""
    by_id = {cup.brew.row.id: cup for cup in cups}
    rows = [
        (by_id[one.brew_id], float(one.liking), "blind" if one.blind else "sighted")
        for one in scored.scores
    ]
    kinds = {kind: values for kind in ("sighted", "blind") if (values := _values(rows, kind))}
    trends = along.likings(kinds, LIKING_OF_BAG)
    points = [_points(rows, kind, trends.get(kind)) for kind in ("sighted", "blind")]
    rows.sort(key=lambda row: row[0].brew.row.brewed_at)
    figure = trend_chart(points, x_title=x_title, y_title="liking, 1–9", y_range=(0.5, 9.5))
    title = f"Liking over the bag's days, by {scored.name}"
    said = [*along.said(*trends.values()), *meaning_of(kinds)]
    return BagChart("chart-liking", title, figure, rows, said)


def _strength(cups: Sequence[BagCup], along: Along, x_title: str) -> BagChart:
    """Only what was measured has a trend."""
    rows = [
        (cup, pct, "measured" if cup.brew.estimate.measured else "estimated")
        for cup in cups
        if (pct := cup.brew.estimate.strength_pct)
    ]
    in_turn = sorted(rows, key=lambda row: row[0].brew.row.id)
    told = along.trend(_values(in_turn, "measured"), STRENGTH, METER)
    said = along.said(told)
    if any(kind == "estimated" for _, _, kind in rows):
        said.append(Said((ESTIMATED,)))
    points = [_points(rows, "measured", told), _points(rows, "estimated")]
    figure = trend_chart(points, x_title=x_title, y_title="strength, % TDS")
    flat = "" if told and told.trend.found else _flat(rows, NOTICED_PCT, "{} to {} % TDS")
    return BagChart("chart-strength", "Strength over the bag's days", figure, rows, said, flat)


def _ratio(cups: Sequence[BagCup], x_title: str) -> BagChart:
    rows = [(cup, cup.brew.estimate.ratio, "ratio") for cup in cups]
    points = [_points(rows, "ratio")]
    figure = trend_chart(points, x_title=x_title, y_title="brew water to dose, g/g")
    most = median([_middle(value) for _, value, _ in rows]) * SAME_RATIO if rows else 0.0
    flat = _flat(rows, most, "1 : {} to {}", digits=1)
    said = [Said((SET_BY_YOU,))]
    return BagChart("chart-ratio", "Ratio over the bag's days", figure, rows, said, flat)


def _flat(rows: Rows, least: float, words: str, digits: int = 2) -> str:
    """From what to what the values go, where that is less than `least`; else empty."""
    values = [_middle(value) for _, value, _ in rows]
    if not values or max(values) - min(values) >= least:
        return ""
    return words.format(f"{min(values):.{digits}f}", f"{max(values):.{digits}f}")


def _values(rows: Rows, kind: str) -> list[Value]:
    return [
        Value(cup.brew.row.id, cup.brew.row.brewed_on, cup.day, _middle(value))
        for cup, value, of in rows
        if of == kind
    ]


def _points(rows: Rows, kind: str, told: Told | None = None) -> Points:
    shown = [(cup.day, value) for cup, value, of in rows if of == kind]
    ranges = [value for _, value in shown if isinstance(value, Ranged)]
    return Points(
        kind,
        [day for day, _ in shown],
        [_middle(value) for _, value in shown],
        [pct.low for pct in ranges],
        [pct.high for pct in ranges],
        _line(told),
    )


def _middle(value: float | Ranged) -> float:
    return value.value if isinstance(value, Ranged) else value


def _line(told: Told | None) -> TrendLine | None:
    look = told.trend.looks[-1] if told and told.trend.looks else None
    return TrendLine(look.ends, look.way is not None, look.guide) if look else None
