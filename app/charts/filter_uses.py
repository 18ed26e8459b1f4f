"""What a filter's uses were like, by the number of the use."""

from collections.abc import Sequence

from app.charts.figure import Figure, axis, rounded, scatter


def filter_uses(
    numbers: Sequence[int],
    values: Sequence[float],
    *,
    y_title: str,
    y_range: tuple[float, float] | None = None,
) -> Figure:
    """One value a use, joined in the order of the uses; uses without a value are left out."""
    y_axis = axis(y_title, rangemode="tozero")
    if y_range is not None:
        y_axis |= {"range": list(y_range), "rangemode": "normal"}
    x_axis = axis("use number")
    if numbers and max(numbers) - min(numbers) < 12:
        x_axis |= {"dtick": 1, "range": [min(numbers) - 0.5, max(numbers) + 0.5]}
    line = {"color": "var(--line-strong)", "width": 1.5}
    marker = {"symbol": "circle", "size": 9, "color": "var(--series-1)"}
    trace = scatter("lines+markers", numbers, rounded(values, 4), line=line, marker=marker)
    trace |= {"cliponaxis": False, "showlegend": False}
    return {"data": [trace], "layout": {"xaxis": x_axis, "yaxis": y_axis, "height": 300}}
