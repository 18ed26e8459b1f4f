"""Strength predicted against strength measured, without and with what the journal learned."""

from collections.abc import Sequence

from app.charts.figure import Figure, Triple, axis, bars_of_few, rounded, scatter
from app.charts.in_view import View, in_view, told


def predicted_measured(
    measured_pct: Sequence[float], plain: Sequence[Triple], learned: Sequence[Triple]
) -> Figure:
    """Predictions (% TDS) of the same brews as `measured_pct`, beside the line of exact ones."""
    brews = [
        (pct, without[0], others[0])
        for pct, without, others in zip(measured_pct, plain, learned, strict=True)
    ]
    ends = [value for brew in brews for value in brew]
    low, high = (min(ends), max(ends)) if ends else (1.0, 1.5)
    spare = 0.08 * (high - low) or 0.1
    view = _view(brews)
    span = view.range if view else [round(low - spare, 3), round(high + spare, 3)]
    dotted = {"color": "var(--line-strong)", "width": 1.5, "dash": "dot"}
    return {
        "data": [
            scatter("lines", span, span, name="exact", line=dotted, hoverinfo="skip"),
            _guesses("without learning", measured_pct, plain, "diamond-open", "var(--series-4)"),
            _guesses("from the others", measured_pct, learned, "circle", "var(--series-1)")
            | ({} if view else bars_of_few(learned)),
        ],
        "layout": {
            "height": 400,
            "xaxis": axis("measured, % TDS", range=span),
            "yaxis": axis("predicted, % TDS") | ({"range": span} if view else {}),
            "annotations": [told(view)] if view else [],
        },
    }


def _view(brews: Sequence[tuple[float, ...]]) -> View | None:
    """The same on both axes; what is counted are brews."""
    view = in_view([value for brew in brews for value in brew])
    if view is None:
        return None
    below = sum(min(brew) < view.low for brew in brews)
    return view._replace(below=below, above=sum(max(brew) > view.high for brew in brews))


def _guesses(
    name: str, measured_pct: Sequence[float], guesses: Sequence[Triple], symbol: str, colour: str
) -> Figure:
    x, y = rounded(measured_pct), rounded([guess[0] for guess in guesses])
    marker = {"symbol": symbol, "size": 8, "color": colour}
    return scatter("markers", x, y, name=name, marker=marker, cliponaxis=False)
