"""Strength predicted against strength measured, without and with what the journal learned."""

from collections.abc import Sequence

from app.charts.figure import Figure, Triple, axis, error_bar, rounded, scatter


def predicted_measured(
    measured_pct: Sequence[float], plain: Sequence[Triple], learned: Sequence[Triple]
) -> Figure:
    """Predictions (% TDS) of the same brews as `measured_pct`, beside the line of exact ones."""
    ends = [*measured_pct, *(guess[0] for guess in (*plain, *learned))]
    low, high = (min(ends), max(ends)) if ends else (1.0, 1.5)
    spare = 0.08 * (high - low) or 0.1
    span = [round(low - spare, 3), round(high + spare, 3)]
    dotted = {"color": "var(--line-strong)", "width": 1.5, "dash": "dot"}
    return {
        "data": [
            scatter("lines", span, span, name="exact", line=dotted, hoverinfo="skip"),
            _guesses("without learning", measured_pct, plain, "diamond-open", "var(--series-4)"),
            _guesses("from the others", measured_pct, learned, "circle", "var(--series-1)")
            | {"error_y": error_bar(learned, "var(--line)", thickness=1)},
        ],
        "layout": {
            "height": 400,
            "xaxis": axis("measured, % TDS", range=span),
            "yaxis": axis("predicted, % TDS"),
        },
    }


def _guesses(
    name: str, measured_pct: Sequence[float], guesses: Sequence[Triple], symbol: str, colour: str
) -> Figure:
    x, y = rounded(measured_pct), rounded([guess[0] for guess in guesses])
    marker = {"symbol": symbol, "size": 8, "color": colour}
    return scatter("markers", x, y, name=name, marker=marker, cliponaxis=False)
