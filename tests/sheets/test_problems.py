"""No line is lost in silence: each that cannot be read is named, and mended or left out."""

from __future__ import annotations

import csv
import re
from io import StringIO

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.models import Brew, Tasting
from tests.sheets.conftest import Sender

HEAD = ["date", "time", "bean", "roast date", "brewer", "dose", "water", "temp °F", "steep",
        "stirs", "ratio", "use", "grind setting", "liking", "taster", "note"]  # fmt: skip
GOOD = {
    "date": "2025-01-14", "time": "7:10", "bean": "Fig", "roast date": "2025-01-02",
    "brewer": "Hill press", "dose": "16.3", "water": "255", "temp °F": "201", "steep": "2:20",
    "stirs": "3", "ratio": "", "use": "", "grind setting": "", "liking": "6", "taster": "Ada",
    "note": "",
}  # fmt: skip
# What a bad line has instead, and what is said of it.
BAD = [
    ({"dose": ""}, "The dose is missing."),
    ({"water": ""}, "The brew water is missing."),
    ({"bean": ""}, "The bean is missing."),
    ({"date": ""}, "The day is missing."),
    ({"dose": "3000"}, "“3000” is out of bounds: dose must be between 0.1 and 2000 g."),
    ({"dose": "-16"}, "“-16” is out of bounds: dose"),
    ({"dose": "a spoon"}, "“a spoon” is no number."),
    ({"dose": "16 spoons"}, "“16 spoons” is no number."),
    ({"dose": "1,63,0"}, "“1,63,0” can be read two ways"),
    ({"water": "2.5.5"}, "“2.5.5” can be read two ways"),
    ({"water": "50000"}, "“50000” is out of bounds: brew water"),
    ({"water": "255 °C"}, "“255 °C” is given in °C, which is no"),
    ({"dose": "=B2*2"}, "“=B2*2” is no number."),
    ({"date": "32.1.2025"}, "“32.1.2025” is no day of the calendar"),
    ({"date": "last week"}, "“last week” is no date"),
    ({"date": "2031-01-14"}, "This day has not come yet."),
    ({"date": "1025-01-14"}, "Please choose a year between 1970 and 2200."),
    ({"time": "25:10"}, "“25:10” is no time of day"),
    ({"roast date": "2025-01-20"}, "The beans were roasted after this brew."),
    ({"roast date": "early"}, "“early” is no date"),
    ({"temp °F": "93"}, "“93” stands among °F and may be °C"),
    ({"temp °F": "300"}, "“300” is out of bounds: water temperature"),
    ({"temp °F": "hot"}, "“hot” is no number."),
    ({"steep": "long"}, "long"),
    ({"stirs": "2.5"}, "“2.5” is no whole number."),
    ({"ratio": "rich"}, "“rich” is no ratio"),
    ({"liking": "12"}, "“12” is not on the scale from 1 to 9."),
    ({"liking": "good"}, "“good” is no number."),
    ({"bean": "f" * 121}, "This is longer than 120 letters."),
    ({"grind setting": "c" * 21}, "This is longer than 20 letters."),
    ({"note": "n" * 4500}, "This is longer than 4000 letters."),
    ({"dose": "", "water": "wet"}, "“wet” is no number."),
]
FIRST_BAD = 4  # three good lines of the heading's and their own numbers above: 1 to 4
LINES = range(FIRST_BAD + 1, FIRST_BAD + 1 + len(BAD))


def _sheet(*changes: dict[str, str]) -> bytes:
    """Good lines, each with its changes, a minute apart."""
    file = StringIO()
    write = csv.DictWriter(file, HEAD)
    write.writeheader()
    for n, changed in enumerate(changes):
        write.writerow(GOOD | {"time": f"7:{n % 60:02}", "note": f"n{n}"} | changed)
    return file.getvalue().encode()


def _bad() -> bytes:
    return _sheet({}, {}, {}, *(changed for changed, _why in BAD), {}, {})


def _cell(line: int, heading: str) -> str:
    return f"cell-{line}-{HEAD.index(heading)}"


def test_each_bad_line_is_named_and_none_is_lost(sender: Sender) -> None:
    shown = sender.send(_bad())
    assert len(BAD) >= 30
    assert f"{len(BAD)} lines cannot be read yet" in shown
    parts = dict(zip(*[iter(re.split(r"Line (\d+) ", shown)[1:])] * 2, strict=True))
    for line, (_changed, why) in zip(range(5, 5 + len(BAD)), BAD, strict=True):
        assert why in parts[str(line)], (line, why)
    assert "The dose is missing." in parts[str(4 + len(BAD))]
    assert "There is no line to bring in." in sender.bring_in()
    assert sender.count(Brew) == 0
    # some are mended, one of them wrongly: it stays as it was typed
    shown = sender.say(**{
        _cell(5, "dose"): "16,5", _cell(9, "dose"): " 30 g", _cell(25, "temp °F"): "93 °C",
        _cell(20, "date"): "14 Jan 2025", _cell(18, "date"): "31.1.2025",
        _cell(11, "dose"): "a ladle",
    })  # fmt: skip
    assert f"{len(BAD) - 5} lines cannot be read yet" in shown
    assert "“a ladle” is no number." in shown
    assert 'value="a ladle"' in sender.client.get(sender.at).text
    # two are left out by name, and the rest still refuse the import
    shown = sender.say(**{"leave-11": "on", "leave-12": "on"})
    assert "2 lines left out: 11, 12." in shown
    assert "There is no line to bring in." in sender.bring_in()
    assert sender.count(Brew) == 0
    left = len(BAD) - 7
    rest = ",".join(str(n) for n in range(5, 5 + len(BAD)) if n not in (5, 9, 11, 12, 18, 20, 25))
    shown = sender.say(all_problems="1", all_lines=rest)
    assert f"{left + 2} lines left out: " in shown
    assert "cannot be read" not in shown
    assert "Bring in 10 brews" in shown
    sender.bring_in()
    assert (sender.count(Brew), sender.count(Tasting)) == (10, 10)
    with Session(sender.journal.reader) as session:
        brews = session.scalars(select(Brew).order_by(Brew.brewed_at)).all()
    marks = {re.search(r"n(\d+)", brew.note)[0]: brew for brew in brews}  # type: ignore[index]
    assert set(marks) == {"n0", "n1", "n2", "n3", "n7", "n16", "n18", "n23", "n35", "n36"}
    assert marks["n3"].dose_g == 16.5
    assert marks["n7"].dose_g == 30
    assert marks["n23"].water_temp_c == 93
    assert str(marks["n16"].brewed_on) == "2025-01-31"


def test_more_problems_than_a_page_shows_follow_when_those_are_done(sender: Sender) -> None:
    shown = sender.send(_sheet({}, *[{"dose": "?"}] * 95))
    for _pages, left in ((1, 55), (2, 15)):
        assert f"And {left} more lines" in shown
        names = re.findall(r'name="(leave-\d+)"', sender.client.get(sender.at).text)
        assert len(names) == 40
        shown = sender.say(**dict.fromkeys(names, "on"))
    assert shown.count("“?” is no number.") == 15
    assert "80 lines left out: 3, 4," in shown
    rest = ",".join(map(str, range(83, 98)))
    assert "Bring in 1 brew" in sender.say(all_problems="1", all_lines=rest)


def test_days_that_can_be_read_two_ways_are_asked_once(sender: Sender) -> None:
    lines = [{"date": f"{n}/2/2025", "roast date": "2/1/2025"} for n in range(3, 9)]
    shown = sender.send(_sheet(*lines))
    assert shown.count("The days can be read two ways.") == 1
    assert "Bring in" not in shown.split("Asked once")[0]
    assert "Bring in 6 brews" in sender.say(order="dmy")
    sender.bring_in()
    with Session(sender.journal.reader) as session:
        days = session.scalars(select(Brew.brewed_on).order_by(Brew.brewed_at)).all()
    assert [str(day) for day in days] == [f"2025-02-{n:02}" for n in range(3, 9)]


@pytest.mark.parametrize(
    ("changed", "noted"),
    [
        ({"use": "3"}, "Use of the filter: 3"),
        ({"liking": "", "note": "thin"}, "Taster: Ada"),
        ({"note": "thin"}, "thin"),
    ],
)
def test_what_has_no_place_goes_to_the_note(
    sender: Sender, changed: dict[str, str], noted: str
) -> None:
    sender.send(_sheet(changed))
    sender.bring_in()
    with Session(sender.journal.reader) as session:
        assert noted in session.scalars(select(Brew.note)).one().split("\n")


def test_words_of_a_taste_without_a_taster_go_to_the_note(sender: Sender) -> None:
    sender.send(
        b"date,bean,brewer,dose,water,tasting notes\n2025-01-14,Fig,Hill press,16,255,plum\n"
    )
    sender.bring_in()
    assert sender.count(Tasting) == 0
    with Session(sender.journal.reader) as session:
        assert session.scalars(select(Brew.note)).one() == "Note of the tasting: plum"


def test_temperatures_of_cold_brews_in_fahrenheit_are_not_doubted(sender: Sender) -> None:
    shown = sender.send(_sheet({"temp °F": "68"}, {"temp °F": "70"}))
    assert "Bring in 2 brews" in shown
