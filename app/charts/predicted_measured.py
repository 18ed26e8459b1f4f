"""Strength predicted against strength measured, without and with what the journal learned."""

from collections.abc import Sequence

from app.charts.figure import Figure, Triple, error_bar


def predicted_measured(
    measured_pct: Sequence[float], plain: Sequence[Triple], learned: Sequence[Triple]
) -> Figure:
    """Predictions (% TDS) of the same brews as `measured_pct`, beside the line of exact ones."""
    ends = [*measured_pct, *(value for guess in (*plain, *learned) for value in guess[:1])]
    low, high = (min(ends), max(ends)) if ends else (1.0, 1.5)
    spare = 0.08 * (high - low) or 0.1
    span = [round(low - spare, 3), round(high + spare, 3)]
    line: Figure = {
        "type": "scatter",
        "mode": "lines",
        "name": "exact",
        "x": span,
        "y": span,
        "line": {"color": "var(--line-strong)", "width": 1.5, "dash": "dot"},
        "hoverinfo": "skip",
    }
    return {
        "data": [
            line,
            _guesses("without learning", measured_pct, plain, "diamond-open", "var(--series-4)"),
            _guesses("from the others", measured_pct, learned, "circle", "var(--series-1)")
            | {"error_y": error_bar(learned, "var(--line)", thickness=1)},
        ],
        "layout": {
            "height": 400,
            "xaxis": {"title": {"text": "measured, % TDS"}, "range": span},
            "yaxis": {"title": {"text": "predicted, % TDS"}},
        },
    }


def _guesses(
    name: str, measured_pct: Sequence[float], guesses: Sequence[Triple], symbol: str, colour: str
) -> Figure:
    return {
        "type": "scatter",
        "mode": "markers",
        "name": name,
        "x": [round(value, 3) for value in measured_pct],
        "y": [round(guess[0], 3) for guess in guesses],
        "marker": {"symbol": symbol, "size": 8, "color": colour},
        "cliponaxis": False,
    }
