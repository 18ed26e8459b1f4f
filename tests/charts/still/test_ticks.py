"""Marks of axes: round, few enough to be read, and days as the rest of the app writes them."""

from __future__ import annotations

from datetime import datetime
from itertools import pairwise

import pytest

from app.charts.still.days import days, hours
from app.charts.still.letters import width
from app.charts.still.signs import Signs
from app.charts.still.ticks import Stretch, linear, logarithmic
from app.charts.still.values import seconds

SIGNS = Signs()


def span(first: str, last: str, pixels: float = 260) -> Stretch:
    return Stretch(seconds(first) or 0, seconds(last) or 0, pixels, upright=False)


@pytest.mark.parametrize("reach", [1e-6, 0.03, 0.7, 1, 7, 58, 1234, 9.9e9])
@pytest.mark.parametrize("pixels", [150, 260, 900])
def test_marks_are_round_numbers_with_room_for_their_words(reach: float, pixels: float) -> None:
    stretch = Stretch(0.3 * reach, 1.3 * reach, pixels, upright=False)
    ticks = linear(stretch, SIGNS)
    assert len(ticks.at) >= 2
    step = ticks.at[1] - ticks.at[0]
    assert float(f"{step:.0e}") == pytest.approx(step)
    assert f"{step:.0e}"[0] in "125"
    for (a, b), (one, other) in zip(pairwise(ticks.at), pairwise(ticks.text), strict=True):
        assert (b - a) / reach * pixels > (width(one) + width(other)) / 2
    assert len(set(ticks.text)) == len(ticks.text)


def test_counts_have_whole_marks_only() -> None:
    assert linear(Stretch(0, 2, 260, upright=False), SIGNS, 1).text == ["0", "1", "2"]


def test_few_days_are_marked_as_days_without_hours() -> None:
    ticks = days(span("2026-06-27 12:00", "2026-06-30 12:00"), SIGNS)
    assert ticks.text == ["28\u00a0Jun<br>2026", "29\u00a0Jun", "30\u00a0Jun"]
    assert ticks.at == [seconds(f"2026-06-{day}") for day in (28, 29, 30)]


def test_weeks_begin_on_mondays() -> None:
    ticks = days(span("2026-11-01", "2026-12-10"), SIGNS)
    moments = [datetime.fromtimestamp(at).weekday() for at in ticks.at]  # noqa: DTZ006
    assert set(moments) == {0}


def test_the_year_is_said_again_where_it_changes() -> None:
    ticks = days(span("2025-10-15", "2026-04-15", 900), SIGNS)
    told = [text.partition("<br>")[2] for text in ticks.text if "<br>" in text]
    assert told == ["2025", "2026"]
    first = next(text for text in ticks.text if text.endswith("2026"))
    assert first.startswith("5\u00a0Jan")


def test_long_spans_are_marked_by_years() -> None:
    ticks = days(span("2011-05-01", "2026-05-01"), SIGNS)
    assert all(text.isdecimal() for text in ticks.text)
    assert len(ticks.text) >= 2


def test_hours_of_a_day_are_written_as_everywhere() -> None:
    ticks = hours(span("2026-03-05 06:30", "2026-03-05 23:59"), SIGNS)
    assert ticks.text[0] in ("7:00", "8:00", "9:00")
    assert len(ticks.text) >= 4
    assert all(text.endswith(":00") for text in ticks.text)


def test_a_log_axis_is_marked_by_powers_of_ten_or_between_them() -> None:
    wide = logarithmic(Stretch(-2, 4, 260, upright=True), SIGNS)
    assert wide.text == ["0.01", "0.1", "1", "10", "100", "1000", "10000"]
    near = logarithmic(Stretch(0.45, 0.95, 260, upright=True), SIGNS)
    assert near.text == ["3", "4", "6", "8"]
