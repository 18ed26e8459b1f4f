"""Any list as a table: all of it, as it is filtered, and with no formula in it."""

from __future__ import annotations

import csv
import re
from html import unescape
from io import StringIO
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from app import create_app
from app.journal.as_table import Column, lines
from app.models import Ask
from tests.support import page
from tests.support.asking import ask, blind_test, pair
from tests.support.clock import NOON
from tests.support.demo import demo_in
from tests.support.factories import Make

STARTS = tuple("=+-@\t\r\n＝＋－＠")
FORMULAS = ("=1+1", "+1", "-1+1", "@sum(1)", "'=1", "＝1")
LISTS = (
    "/brews/", "/tastings/", "/bags/", "/filters/", "/filters/packs", "/filters/retired",
    "/recipes", "/gear", "/side-by-side/", "/blind/", "/questions/", "/questions/asks/",
    "/sittings/", "/claimed/", "/ranking/", "/looking-back/best",
)  # fmt: skip


def table(client: FlaskClient, address: str) -> list[dict[str, str]]:
    """The table that a list's own page links to, read as any program would."""
    shown = client.get(address)
    assert shown.status_code == 200
    (link,) = re.findall(r'href="([^"]+)" download>', shown.text)
    return read(client, unescape(link))


def read(client: FlaskClient, address: str) -> list[dict[str, str]]:
    answer = client.get(address)
    assert (answer.status_code, answer.mimetype) == (200, "text/csv")
    assert answer.headers["Content-Disposition"].startswith("attachment; filename=")
    rows = list(csv.DictReader(StringIO(answer.text, newline="")))
    assert all(None not in row and None not in row.values() for row in rows)
    return rows


def as_it_was(cell: str) -> str:
    """Without the quote that keeps a spreadsheet from working it out."""
    guarded = cell.startswith("'") and cell.lstrip("'")[:1] in STARTS
    return cell[1:] if guarded else cell


# The guard


@given(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0")))
def test_a_guarded_text_is_no_formula_and_is_read_back_as_it_was(text: str) -> None:
    head: list[Column[str]] = [
        Column("one", lambda row, _: row),
        Column("two", lambda _, zone: zone),
    ]
    written = "".join(lines(head, [text], "UTC"))
    _, (cell, zone) = csv.reader(StringIO(written, newline=""))
    assert (as_it_was(cell), zone) == (text, "UTC")
    assert not cell.startswith(STARTS)


@pytest.mark.parametrize("start", FORMULAS)
def test_no_list_lets_a_formula_out(client: FlaskClient, make: Make, start: str) -> None:
    bean = make.bean(name=start, roaster=start)
    brew = make.brew(make.bag(bean, note=start), note=start, filters=[make.filter()])
    make.tasting(brew, make.taster(name=start), words=start, note=start)
    make.recipe(name=start, note=start, steps=[{"kind": "pour", "grams": 90.0, "note": start}])
    make.grinder(name=start, scale=start)
    make.side_by_side(note=start)
    blind_test(make, "rw", title=start, a_words=start, note=start)
    make.save(Ask(text=start, asked_on=NOON.date(), source=start, noted_at=NOON))
    ask(client, text=f"{start}?")
    seen = 0
    for address in LISTS:
        for row in read(client, f"{address}?as=csv"):
            seen += sum(start in cell for cell in row.values())
            cells = [cell for cell in row.values() if not re.fullmatch(r"-?[\d.e-]+", cell)]
            assert not [cell for cell in cells if cell.startswith(STARTS)]
    assert seen > 12


# All of it, as filtered


def test_brews_are_all_there_not_a_page_of_them(client: FlaskClient, make: Make) -> None:
    for _ in range(120):
        make.brew()
    rows = table(client, "/brews/")
    assert [int(row["brew_id"]) for row in rows] == list(range(120, 0, -1))


def test_what_is_searched_for_is_what_the_table_has(client: FlaskClient, make: Make) -> None:
    wanted, other = make.bag(), make.bag(make.bean(name="Second Field"))
    make.brew(wanted, note="lemon")
    make.brew(other, note="lemon")
    make.brew(wanted, note="cocoa")
    assert len(table(client, "/brews/")) == 3
    assert len(table(client, "/brews/?q=lemon")) == 2
    assert [row["note"] for row in table(client, f"/brews/?q=lemon&bag={wanted.id}")] == ["lemon"]
    make.tasting(note="jasmine")
    make.tasting(note="stone")
    assert [row["note"] for row in table(client, "/tastings/?q=jasmine")] == ["jasmine"]
    assert [row["bean"] for row in table(client, "/bags/?q=second")] == ["Second Field"]
    make.recipe(name="Long steep")
    make.recipe(name="Short steep")
    assert [row["name"] for row in table(client, "/recipes?q=long")] == ["Long steep"]


def test_a_brew_has_units_in_its_names_and_both_times(client: FlaskClient, make: Make) -> None:
    bag = make.bag(make.bean(name="Morning Hill", roaster="Lantern Yard"), roasted_on=NOON.date())
    brew = make.brew(
        bag, brewed_at="2026-09-20T06:30", zone="Europe/Vienna", dose_g=13.5, water_temp_c=91.0,
        steep_s=135, tds_pct=1.27, flipped=True, filters=[make.filter()], note="a, \"b\"\nc",
    )  # fmt: skip
    make.tasting(brew, liking=8)
    (row,) = table(client, "/brews/")
    assert row["brewed_at_utc"] == "2026-09-20T06:30:00Z"
    assert row["brewed_at_local"] == "2026-09-20T08:30:00+02:00"
    assert (row["zone"], row["brewed_on"]) == ("Europe/Vienna", "2026-09-20")
    assert (row["bean"], row["roaster"], row["rest_days"]) == ("Morning Hill", "Lantern Yard", "5")
    assert (float(row["dose_g"]), float(row["water_temp_c"])) == (13.5, 91.0)
    assert (row["steep_s"], row["press_s"], row["flipped"]) == ("135", "", "true")
    assert row["filters"] == "White round no. 1, paper, use 1"
    assert float(row["strength_pct_low"]) < float(row["strength_pct"]) == 1.27
    assert row["strength_measured"] == "true"
    assert (row["mean_liking_1_to_9"], row["note"]) == ("8.0", 'a, "b"\nc')


def test_the_table_is_in_stored_units_whatever_the_household_reads(
    client: FlaskClient, make: Make
) -> None:
    make.brew(dose_g=13.5, water_temp_c=91.0)
    opened = client.get("/settings").text
    sent = page.filled(opened, holding="mass_unit", mass_unit="oz", temp_unit="°F", locale="de")
    assert client.post("/settings", data=sent).status_code == 303
    (row,) = table(client, "/brews/")
    assert (row["dose_g"], row["water_temp_c"]) == ("13.5", "91.0")


def test_a_bag_is_a_series_of_its_scored_cups(client: FlaskClient, make: Make) -> None:
    bag = make.bag(roasted_on=make.brew().brewed_on)
    steep = {"water_temp_c": 92.0, "steep_s": 140}
    first, second = make.brew(bag, dose_g=13.0, **steep), make.brew(bag, dose_g=15.0, **steep)
    make.brew()
    one, other = make.taster(), make.taster(name="Sage")
    make.tasting(second, one, liking=6)
    make.tasting(second, other, liking=8, blind=True)
    rows = table(client, f"/bags/{bag.id}")
    assert [(row["brew_id"], row["rest_days"], row["taster"], row["liking_1_to_9"], row["dose_g"])
            for row in rows] == [
        (str(first.id), "1", "", "", "13.0"),
        (str(second.id), "2", "Juniper", "6", "15.0"),
        (str(second.id), "2", "Sage", "8", "15.0"),
    ]  # fmt: skip
    assert [row["tasted_blind"] for row in rows] == ["", "false", "true"]
    assert all(float(row["strength_pct_low"]) < float(row["strength_pct_high"]) for row in rows)


# Keys and verdicts


def test_a_test_under_way_tells_no_more_than_its_list(client: FlaskClient, make: Make) -> None:
    blind_test(make, "rrw", several_tasters=True, balanced=True)
    (row,) = table(client, "/blind/")
    assert (row["state"], row["says"]) == ("under way", "")
    assert (row["answered"], row["right_or_for_the_cup_named"]) == ("3", "")
    assert not [name for name in row if "key" in name or name == "cups"]


def test_side_by_sides_say_what_differs(client: FlaskClient, make: Make) -> None:
    pair(make, "b", steep_s=175)
    (row,) = table(client, "/side-by-side/")
    assert (row["preference"], row["verdict"]) == ("b", "one")
    assert row["differs"] == "steep: 2:00 and 2:55"


# The demo household


def test_every_list_of_the_demo_is_read_by_any_program(
    tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    config = demo_in(tmp_path, tmp_path_factory.getbasetemp())
    client = create_app(config).test_client()
    for address in set(LISTS) - {"/ranking/"}:  # the demo has none
        assert table(client, address), address
    groups = client.get("/groups/").text
    preset = unescape(re.findall(r'href="(/groups/\?[^"]+)"', groups)[0])
    rows = table(client, preset)
    assert {row["group"] for row in rows} == {"A", "B"}
