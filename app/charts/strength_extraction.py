"""Strength against extraction: two cups with their ranges, and a published region as a box."""

from collections.abc import Sequence
from typing import NamedTuple

from app.charts.cups import COLOURS, cup_trace
from app.charts.figure import Figure, Triple, axis, error_bar, note


class Region(NamedTuple):
    """A box of extraction (%) by strength (% TDS), and the words on it."""

    extraction_pct: tuple[float, float]
    strength_pct: tuple[float, float]
    label: str


class CupPoint(NamedTuple):
    """Cup A or B; each of its two numbers with its range."""

    letter: str
    extraction_pct: Triple
    strength_pct: Triple


def strength_extraction(cups: Sequence[CupPoint], region: Region) -> Figure:
    """Cups as points with error bars; the axes hold the region and every range."""
    (x0, x1), (y0, y1) = region.extraction_pct, region.strength_pct
    made = _figure(cups, region.extraction_pct, region.strength_pct)
    box: Figure = {"type": "rect", "x0": x0, "x1": x1, "y0": y0, "y1": y1, "layer": "below"}
    box |= {"fillcolor": "var(--inset)", "line": {"color": "var(--line-strong)", "width": 1}}
    made["layout"]["shapes"] = [box]
    made["layout"]["annotations"] = [note(region.label, x=(x0 + x1) / 2, y=y1, yanchor="bottom")]
    return made


def two_sums(cups: Sequence[CupPoint], words: str) -> Figure:
    """Cups whose extractions come from different sums: no box is theirs, and `words` say so."""
    made = _figure(cups)
    said = note(words, xref="paper", yref="paper", x=0, y=1, xanchor="left", yanchor="bottom")
    made["layout"]["annotations"] = [said]
    return made


def _figure(cups: Sequence[CupPoint], *axes: tuple[float, float]) -> Figure:
    """The cups on axes that hold every range, and what else is to be held."""
    also_x, also_y = axes or ((), ())
    xs = [*also_x, *(end for cup in cups for end in cup.extraction_pct)]
    ys = [*also_y, *(end for cup in cups for end in cup.strength_pct)]
    return {
        "data": [_cup(cup) for cup in cups],
        "layout": {
            "xaxis": axis("extraction, % of the dose", range=_span(xs)),
            "yaxis": axis("strength, % TDS", range=_span(ys)),
        },
    }


def _cup(cup: CupPoint) -> Figure:
    x, y = cup.extraction_pct, cup.strength_pct
    trace = cup_trace(cup.letter, [round(x[0], 2)], [round(y[0], 3)])
    colour = COLOURS[cup.letter]
    return trace | {"error_x": error_bar([x], colour), "error_y": error_bar([y], colour)}


def _span(values: Sequence[float]) -> list[float]:
    margin = 0.12 * (max(values) - min(values))
    return [max(0.0, round(min(values) - margin, 3)), round(max(values) + margin, 3)]
