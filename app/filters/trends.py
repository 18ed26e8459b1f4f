"""A filter's uses over their numbers: press time, press effort and liking, each with its trend."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from app.charts.figure import Chart
from app.charts.trend import Points, TrendLine, trend_chart
from app.filters.queries import MOST_USES, UsedIn
from app.formats import Formats, ordinal
from app.journal.along import WHOLE, Along, Told, Value, meaning_of
from app.journal.scores import OneTaster
from app.sensory.scores.trend_words import Measured, Said

LEAST_POINTS = 2
END = "when the filter is retired"
PRESS_TIME = Measured("press time", "day with a press time", "uses", END, unit="s")
EFFORT = Measured("press effort", "day with an effort", "uses", END, points="step")
LIKING = Measured("liking", "day with a score", "uses", END, points="point")
NOTED = "noted"  # the kind of a value that has no other


@dataclass(frozen=True, slots=True)
class UseRow:
    """One use: the brew's row, which use it was, days since the one before."""

    brew: UsedIn
    number: int
    gap_days: int | None


@dataclass(frozen=True)
class UseChart:
    """A chart by use number, and what is said of its trends."""

    chart: Chart
    said: Sequence[Said]


def use_charts(
    uses: Sequence[UseRow], scored: OneTaster, along: Along, formats: Formats
) -> dict[str, UseChart]:
    """Charts by column, of what at least two uses have a value for; uses run from the oldest on."""
    in_turn = sorted(uses, key=lambda use: use.brew.id)
    press_s = [_value(use, use.brew.press_s) for use in in_turn if use.brew.press_s is not None]
    effort = [
        _value(use, use.brew.press_effort) for use in in_turn if use.brew.press_effort is not None
    ]
    times = {NOTED: told} if (told := along.trend(press_s, PRESS_TIME, WHOLE)) else {}
    efforts = {NOTED: told} if (told := along.trend(effort, EFFORT, WHOLE)) else {}
    likings = _likings(uses, scored)
    shown = Shown(uses[-MOST_USES:], along, formats)
    charts = {
        "press_s": shown.chart({NOTED: press_s}, times, "Press, s#", "press time, s"),
        "press_effort": shown.chart(
            {NOTED: effort}, efforts, "Effort#", "press effort, 1–5", (0.5, 5.5)
        ),
        "liking": shown.chart(
            likings,
            along.likings(likings, LIKING),
            "Liking#",
            "liking, 1–9",
            (0.5, 9.5),
            of=f", by {scored.name}",
        ),
    }
    return {column: chart for column, chart in charts.items() if chart}


def _likings(uses: Sequence[UseRow], scored: OneTaster) -> dict[str, list[Value]]:
    """One taster's scores by kind, in the order they were entered."""
    by_id = {use.brew.id: use for use in uses}
    kinds: dict[str, list[Value]] = {}
    for blind, kind in ((False, "sighted"), (True, "blind")):
        of_kind = [one for one in scored.scores if one.blind == blind]
        if of_kind:
            kinds[kind] = [_value(by_id[one.brew_id], one.liking) for one in of_kind]
    return kinds


def _value(use: UseRow, value: float) -> Value:
    return Value(use.brew.id, use.brew.brewed_on, use.number, value)


@dataclass(frozen=True)
class Shown:
    """The uses that are drawn, from the oldest on."""

    uses: Sequence[UseRow]
    along: Along
    formats: Formats

    def chart(
        self,
        kinds: Mapping[str, Sequence[Value]],
        trends: Mapping[str, Told],
        head: str,
        y_title: str,
        y_range: tuple[float, float] | None = None,
        of: str = "",
    ) -> UseChart | None:
        """None for fewer than two values; `of` ends the title."""
        numbers = {use.number for use in self.uses}
        drawn = {
            kind: sorted((v for v in values if v.x in numbers), key=lambda value: value.x)
            for kind, values in kinds.items()
        }
        if sum(map(len, drawn.values())) < LEAST_POINTS:
            return None
        points = [_points(kind, drawn[kind], trends.get(kind)) for kind in drawn]
        figure = trend_chart(points, x_title="use number", y_title=y_title, y_range=y_range)
        named = [("How", kind) for kind in drawn if kind != NOTED]
        rows = [
            [
                ordinal(int(value.x)),
                self.formats.day(value.day),
                self.formats.number(value.y, 1),
                *([kind] if named else []),
            ]
            for kind, values in drawn.items()
            for value in values
        ]
        heads = ["Use", "Day", head, *(["How"] if named else [])]
        title = f"{y_title.partition(',')[0].capitalize()} by use{of}"
        said = [*self.along.said(*trends.values()), *meaning_of(kinds)]
        return UseChart(Chart(title, figure, heads, rows), said)


def _points(kind: str, values: Sequence[Value], told: Told | None) -> Points:
    look = told.trend.looks[-1] if told and told.trend.looks else None
    line = TrendLine(look.ends, look.way is not None, look.guide) if look else None
    return Points(kind, [value.x for value in values], [value.y for value in values], line=line)
