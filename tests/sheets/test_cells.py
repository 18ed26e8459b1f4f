"""What is written in cells and headings, read by hand beforehand."""

from __future__ import annotations

from datetime import date, time

import pytest

from app.spreadsheet import cells, days
from app.spreadsheet.headings import best, headed, scale_of, unit_of


@pytest.mark.parametrize(
    ("text", "decimal", "unit", "stored", "value"),
    [
        ("15.8", ".", "", "g", 15.8),
        ("15,8", ",", "", "g", 15.8),
        ("15,8", ".", "", "g", 15.8),  # a lone comma among points is no mark for thousands
        ("1,250", ".", "", "g", 1250),
        ("1.250", ",", "", "g", 1250),
        ("1.250,5", ",", "", "g", 1250.5),
        ("1,250.5", ".", "", "g", 1250.5),
        ("1 250", ".", "", "g", 1250),
        ("1'250", ".", "", "g", 1250),
        ("-3.5", ".", "", "", -3.5),
        ("−3.5", ".", "", "", -3.5),
        ("~16 g", ".", "", "g", 16),
        ("16.3g", ".", "", "g", 16.3),
        ("0.6 oz", ".", "", "g", 0.6 * 28.349523125),
        ("0.6", ".", "oz", "g", 0.6 * 28.349523125),
        ("16 g", ".", "oz", "g", 16),
        ("9 fl oz", ".", "", "g", 9 * 29.5735295625),
        ("260 ml", ".", "", "g", 260),
        ("200 °F", ".", "", "°C", (200 - 32) * 5 / 9),
        ("200F", ".", "", "°C", (200 - 32) * 5 / 9),
        ("94 C", ".", "°F", "°C", 94),
        ("1.31 %", ".", "", "", 1.31),
    ],
)
def test_numbers(text: str, decimal: str, unit: str, stored: str, value: float) -> None:
    assert cells.number(text, decimal, unit, stored) == pytest.approx(value)


@pytest.mark.parametrize(
    ("text", "decimal", "stored", "why"),
    [
        ("about a spoon", ".", "g", "no number"),
        ("16 spoons", ".", "g", "no number"),
        ("1,25,0", ".", "g", "two ways"),
        ("1.2.3", ".", "g", "two ways"),
        ("16,25,3.1", ".", "g", "two ways"),
        ("94 °C", ".", "g", "given in °C"),
        ("=A1*2", ".", "g", "no number"),
        ("٣٤", ".", "g", "no number"),
    ],
)
def test_what_is_no_number_says_why(text: str, decimal: str, stored: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        cells.number(text, decimal, "", stored)


@pytest.mark.parametrize(
    ("texts", "mark"),
    [
        (["15,8", "16,2"], ","), (["15.8", "16,2", "17.1"], "."), (["1,250"], "."),
        (["1.250,5", "16,2"], ","), (["16", "17"], "."), ([], "."),
    ],
)  # fmt: skip
def test_the_mark_before_decimals(texts: list[str], mark: str) -> None:
    assert cells.decimal_mark(texts) == mark


@pytest.mark.parametrize(
    ("texts", "order"),
    [
        (["3/4/2024", "13/4/2024"], "dmy"), (["3/4/2024", "4/13/2024"], "mdy"),
        (["3/4/2024"], None), (["13/4/2024", "4/13/2024"], None), (["3.4.2024"], "dmy"),
        (["2024-03-04"], "dmy"), (["March 4, 2024"], "dmy"),
    ],
)  # fmt: skip
def test_which_of_day_and_month_comes_first(texts: list[str], order: str | None) -> None:
    assert days.day_order(texts) == order


@pytest.mark.parametrize(
    ("text", "order", "day"),
    [
        ("2024-03-04", "mdy", date(2024, 3, 4)),
        ("2024/3/4", "dmy", date(2024, 3, 4)),
        ("4.3.2024", "dmy", date(2024, 3, 4)),
        ("04.03.24", "dmy", date(2024, 3, 4)),
        ("3/4/24", "mdy", date(2024, 3, 4)),
        ("March 4, 2024", "dmy", date(2024, 3, 4)),
        ("4th March 2024", "mdy", date(2024, 3, 4)),
        ("Mon, 4 Mar 2024", "dmy", date(2024, 3, 4)),
        ("4. März 2024", "dmy", date(2024, 3, 4)),
        ("4-Mar-24", "dmy", date(2024, 3, 4)),
        ("4 août 2024", "dmy", date(2024, 8, 4)),
        ("45355", "dmy", date(2024, 3, 4)),
        ("2024-03-04 07:30", "dmy", date(2024, 3, 4)),
        ("29.2.2024", "dmy", date(2024, 2, 29)),
    ],
)
def test_days(text: str, order: str, day: date) -> None:
    assert days.day(text, order) == day


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("32.1.2025", "no day of the calendar"), ("29.2.2025", "no day of the calendar"),
        ("3/13/2025", "no day of the calendar"), ("yesterday", "no date"),
        ("4 Foo 2024", "no date"),
        ("4.3.1066", "between 1970 and 2200"), ("12", "no date"), ("0000-00-00", "calendar"),
    ],
)  # fmt: skip
def test_what_is_no_day_says_why(text: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        days.day(text, "dmy")


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("7:30", time(7, 30)), ("07.30", time(7, 30)), ("7h30", time(7, 30)),
        ("7:30:15", time(7, 30)), ("7:30 PM", time(19, 30)), ("12:05 am", time(0, 5)),
        ("12:05 p.m.", time(12, 5)), ("7 pm", time(19)), ("19 Uhr", time(19)), ("7h", time(7)),
    ],
)  # fmt: skip
def test_times_of_day(text: str, at: time) -> None:
    assert days.clock(text) == at


@pytest.mark.parametrize("text", ["25:00", "7:60", "noon", "730", "7:30 xm", ""])
def test_what_is_no_time_says_why(text: str) -> None:
    with pytest.raises(ValueError, match="no time of day"):
        days.clock(text)


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("2024-03-04 07:30", time(7, 30)), ("2024-03-04T07:30:10", time(7, 30)),
        ("3/4/24, 7:30 PM", time(19, 30)), ("45355.3125", time(7, 30)), ("4.3.2024", None),
    ],
)  # fmt: skip
def test_a_time_after_its_day(text: str, at: time | None) -> None:
    assert days.clock_after_day(text) == at


@pytest.mark.parametrize(
    ("text", "unit", "seconds"),
    [
        ("2:30", "", 150), ("150", "", 150), ("2.5", "min", 150), ("2,5", "min", 150),
        ("2", "min", 120), ("24.6", "s", 25), ("2:30:00", "", 150), ("2 min 30 s", "", 150),
    ],
)  # fmt: skip
def test_durations(text: str, unit: str, seconds: int) -> None:
    assert cells.duration(text, "," if "," in text else ".", unit) == seconds


@pytest.mark.parametrize(
    ("heading", "field", "unit"),
    [
        ("Dose (oz)", "dose_g", "oz"), ("Temp °F", "water_temp_c", "°F"), ("Bohne", "bean", ""),
        ("Water in ml", "water_g", "ml"), ("Steep [min]", "steep_s", "min"),
        ("Röstdatum", "roasted_on", ""), ("TDS %", "tds_pct", ""), ("Weather", "", ""),
        ("Tasting notes", "taste_note", ""), ("BREW DATE", "brewed_on", ""),
    ],
)  # fmt: skip
def test_what_a_heading_names(heading: str, field: str, unit: str) -> None:
    assert (best(heading)[1], unit_of(heading, field)) == (field, unit)


@pytest.mark.parametrize(
    ("heading", "scale"),
    [("Score /10", "10"), ("Rating out of 5", "5"), ("Liking 1-9", "9"), ("Score", "")],
)
def test_how_far_a_score_goes(heading: str, scale: str) -> None:
    assert scale_of(heading) == scale


def test_headings_merged_over_two_lines_under_a_title() -> None:
    found = headed([
        ["My cups"],
        ["When", "Coffee", "", "Recipe", ""],
        ["Date", "Bean", "Roast date", "Dose", "Water"],
        ["", "", "", "g", "ml"],
        ["2024-03-04", "Fig", "2024-02-20", "16.3", "255"],
    ])  # fmt: skip
    assert found.first == 4
    assert [(column.field, column.unit) for column in found.columns] == [
        ("brewed_on", ""), ("bean", ""), ("roasted_on", ""), ("dose_g", "g"), ("water_g", "ml"),
    ]  # fmt: skip


def test_a_field_goes_to_the_column_that_says_it_best() -> None:
    columns = headed([["Notes", "Tasting notes", "Note"], ["a", "b", "c"]]).columns
    assert [column.field for column in columns] == ["note", "taste_note", "to the note"]
