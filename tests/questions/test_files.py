"""A question as a file: JSON with everything, CSV that no spreadsheet takes for formulas."""

from __future__ import annotations

import csv
import json
from io import StringIO
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from app.models import Question
from tests.support import page
from tests.support.asking import USED, ask, blind_test, number, pair, tie
from tests.support.clock import NOON
from tests.support.factories import Make

DEVELOPERS = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text()
FORMULAS = ("=1+1", "+1", "-1+1", "@sum(1)", "\t=1", "\r=1")


def test_the_file_of_data_holds_all_with_units_in_the_names(
    client: FlaskClient, make: Make
) -> None:
    address, saved = ask(client, factor="steep"), pair(make, "b", steep_s=180)
    brew = make.brew(dose_g=14.5, tds_pct=1.31, filters=[make.filter()])
    make.tasting(brew, liking=8)
    for kind, row in (
        ("side_by_side", saved),
        ("brew", brew),
        ("blind_test", blind_test(make, "rw")),
    ):
        tie(client, address, kind, row)
    answer = client.get(f"{address}/export.json")
    assert answer.mimetype == "application/json"
    assert (
        answer.headers["Content-Disposition"]
        == f'attachment; filename="question-{number(address)}.json"'
    )
    told = json.loads(answer.text)
    assert all(f"`{name}`" in DEVELOPERS for name in told)
    assert (told["format"], told["version"]) == ("oddcup-question", 2)
    assert told["question"]["text"] == USED
    assert told["strength"]["level"] == "anecdote"
    (cup,) = told["brews"]
    assert (cup["dose_g"], cup["tds_pct"], cup["liking_1_to_9"]) == (14.5, 1.31, 8)
    assert cup["filters"] == ["paper, White round, use 1"]
    (compared,) = told["side_by_sides"]
    assert compared["differs"] == [{"what": "steep", "a": "2:00", "b": "3:00"}]
    assert (compared["comparison"], compared["preferred"]) == ("fair", "b")
    (test,) = told["blind_tests"]
    assert (test["correct"], test["trials"], test["guessing_share"]) == (1, 2, 0.5)


def test_the_table_has_a_row_for_each_piece(client: FlaskClient, make: Make) -> None:
    address = ask(client, factor="steep")
    brew = make.brew(dose_g=14.5)
    tie(client, address, "brew", brew)
    tie(client, address, "side_by_side", pair(make, "b", steep_s=180))
    tie(client, address, "blind_test", blind_test(make, "rw"))
    answer = client.get(f"{address}/export.csv")
    assert answer.mimetype == "text/csv"
    rows = list(csv.DictReader(StringIO(answer.text)))
    assert [row["kind"] for row in rows] == [
        "question",
        "tested within",
        "brew",
        "side by side",
        "blind test",
        "ask",
    ]
    assert rows[2]["dose_g"] == "14.5"
    assert rows[3]["differs"] == "steep: 2:00 / 3:00"
    assert (rows[4]["correct"], rows[4]["trials"]) == ("1", "2")


@pytest.mark.parametrize("start", FORMULAS)
def test_no_cell_of_the_table_is_a_formula(client: FlaskClient, make: Make, start: str) -> None:
    make.save(Question(text=f"{start}?", asked_at=NOON, answer=start))
    address = "/questions/1"
    bag = make.bag(make.bean(name=start))
    tie(client, address, "brew", make.brew(bag, note=start))
    tie(
        client, address, "blind_test", blind_test(make, "r", title=start, a_words=start, note=start)
    )
    saved = make.side_by_side(make.brew(), make.brew(steep_s=180), preference="b", note=start)
    tie(client, address, "side_by_side", saved)
    raw = client.get(f"{address}/export.csv").data.decode()
    cells = [cell for row in csv.reader(StringIO(raw, newline="")) for cell in row]
    assert f"'{start}?" in cells
    assert not [cell for cell in cells if cell.startswith(("=", "+", "-", "@", "\t", "\r"))]


def test_the_files_are_the_same_whatever_the_household_reads(
    client: FlaskClient, make: Make
) -> None:
    address = ask(client, factor="dose")
    tie(client, address, "side_by_side", make.side_by_side(make.brew(), make.brew(dose_g=20.5)))
    plain = client.get(f"{address}/export.csv").text
    settings = page.filled(client.get("/settings/").text, holding="mass_unit", mass_unit="oz")
    assert client.post("/settings/", data=settings).status_code in (302, 303)
    assert client.get(f"{address}/export.csv").text == plain
    assert "14 g / 20.5 g" in plain
