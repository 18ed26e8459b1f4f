"""Strength against extraction: two cups with their ranges, and a published region as a box."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.charts.cups import COLOURS, cup_trace
from app.charts.figure import Figure, Triple, error_bar, note


@dataclass(frozen=True)
class Region:
    """A box of extraction (%) by strength (% TDS), and the words on it."""

    extraction_pct: tuple[float, float]
    strength_pct: tuple[float, float]
    label: str


@dataclass(frozen=True)
class CupPoint:
    """Cup A or B; each of its two numbers with its range."""

    letter: str
    extraction_pct: Triple
    strength_pct: Triple


def strength_extraction(cups: Sequence[CupPoint], region: Region) -> Figure:
    """Cups as points with error bars; the axes hold the region and every range."""
    xs = [*region.extraction_pct, *(end for cup in cups for end in cup.extraction_pct)]
    ys = [*region.strength_pct, *(end for cup in cups for end in cup.strength_pct)]
    return {
        "data": [_cup(cup) for cup in cups],
        "layout": {
            "xaxis": {"title": {"text": "extraction, % of the dose"}, "range": _span(xs)},
            "yaxis": {"title": {"text": "strength, % TDS"}, "range": _span(ys)},
            "shapes": [_box(region)],
            "annotations": [_label(region)],
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


def _box(region: Region) -> Figure:
    (x0, x1), (y0, y1) = region.extraction_pct, region.strength_pct
    return {
        "type": "rect",
        "x0": x0,
        "x1": x1,
        "y0": y0,
        "y1": y1,
        "layer": "below",
        "fillcolor": "var(--inset)",
        "line": {"color": "var(--line-strong)", "width": 1},
    }


def _label(region: Region) -> Figure:
    middle = sum(region.extraction_pct) / 2
    return note(region.label, x=middle, y=region.strength_pct[1], yanchor="bottom")
