"""The pictures of a bag's life: liking, strength and ratio over its days."""

from collections.abc import Iterator, Sequence
from statistics import fmean

from app.brewing.ranged import Ranged
from app.charts.figure import Chart
from app.charts.trend import Points, TrendLine, trend_chart
from app.formats import Formats
from app.journal.along import Told
from app.journal.pairs.fairness import SAME_PROPORTION
from app.readers.life import Life
from app.readers.ticks import Ticks


def pictures_of(life: Life, ticks: Ticks, formats: Formats) -> Iterator[Chart]:
    """Liking, strength and ratio over the days, each where it was noted and moved."""
    day_of = {line.side.row.id: day for day, line in life.cups}
    kinds = [
        Points(
            kind,
            [day_of[one.brew_id] for one in of],
            [float(one.liking) for one in of],
            line=_line(life.trends.get(kind)),
        )
        for kind, blind in (("sighted", False), ("blind", True))
        if (of := [one for one in life.scored.scores if one.blind is blind])
    ]
    if kinds:
        by = life.scored.name if ticks.tasters else "one taster"
        yield _chart(f"Liking, by {by}", "liking, 1–9", kinds, life, formats, (0.5, 9.5))
    made = [(day, line.side.estimate) for day, line in life.cups if line.side.estimate.strength_pct]
    strengths = [
        _strengths(kind, [(day, one.strength_pct) for day, one in made if one.measured is measured])
        for kind, measured in (("measured", True), ("estimated", False))
    ]
    if made:
        yield _chart("Strength", "strength, % TDS", [of for of in strengths if of.x], life, formats)
    ratios = [line.side.estimate.ratio for line in life.lines]
    if ratios and max(ratios) - min(ratios) > SAME_PROPORTION * fmean(ratios):
        days = [day for day, _ in life.cups]
        yield _chart("Brew water to dose", "g/g", [Points("ratio", days, ratios)], life, formats)


def _line(told: Told | None) -> TrendLine | None:
    look = told.trend.looks[-1] if told and told.trend.looks else None
    return TrendLine(look.ends, look.way is not None, look.guide) if look else None


def _strengths(kind: str, made: Sequence[tuple[float, Ranged | None]]) -> Points:
    known = [(day, pct) for day, pct in made if pct]
    return Points(
        kind,
        [day for day, _ in known],
        [pct.value for _, pct in known],
        [pct.low for _, pct in known],
        [pct.high for _, pct in known],
    )


def _chart(
    title: str,
    y_title: str,
    kinds: Sequence[Points],
    life: Life,
    formats: Formats,
    span: tuple[float, float] | None = None,
) -> Chart:
    figure = trend_chart(kinds, x_title=life.x_title, y_title=y_title, y_range=span)
    named = sum(1 for kind in kinds if kind.x) > 1
    rows = [
        [formats.number(x), *([kind.name] if named else []), formats.number(y, 2)]
        for kind in kinds
        for x, y in zip(kind.x, kind.y, strict=True)
    ]
    head = [f"{life.x_title}#", *(["Kind"] if named else []), f"{y_title}#"]
    return Chart(f"{title} over the bag’s days", figure, head, rows)
