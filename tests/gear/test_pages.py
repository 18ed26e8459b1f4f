"""Brewers, grinders and waters: kept, shown with what the journal learned, binned, restored."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from math import exp
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.brewing.strength.calibration import Calibration, learn, taught
from app.brewing.strength.cup import Cup
from app.brewing.strength.doubt import doubts
from app.brewing.strength.retention import Retained
from app.database import Database
from app.gear.forms import KINDS
from app.journal.learned import offsets_of, retention_of
from app.journal.lessons import Learned
from app.models import Brewer, Grinder, Water
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.page import filled

BREWER = {"name": "Red cone", "kind": "cone", "capacity_g": "500", "capacity_dose_g": "30"}
GRINDER = {"name": "Hand mill", "scale": "clicks from closed", "um_per_step": "12,5"}
WATER = {"name": "Kitchen tap", "hardness_mg_l": "120", "alkalinity_mg_l": "65.5"}
ALL = [("brewer", Brewer, BREWER), ("grinder", Grinder, GRINDER), ("water", Water, WATER)]
Watch = Callable[[], AbstractContextManager[list[str]]]


def rows_of(journal: Database, model: type[Any]) -> list[Any]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(model).order_by(model.id)))


def text_of(client: FlaskClient, address: str) -> str:
    response = client.get(address)
    assert response.status_code == 200
    return " ".join(response.text.split())


@pytest.mark.parametrize(("word", "model", "typed"), ALL)
def test_gear_is_added_and_stands_on_its_page(
    client: FlaskClient, journal: Database, word: str, model: type[Any], typed: dict[str, str]
) -> None:
    answer = client.post(f"/gear/{word}s/new", data=typed | {"note": "From the attic."})
    (row,) = rows_of(journal, model)
    assert answer.status_code == 303
    assert answer.location == f"/gear/{word}s/{row.id}"
    page = text_of(client, answer.location)
    assert typed["name"] in page
    assert "From the attic." in page
    assert typed["name"] in text_of(client, "/gear")


def test_values_are_kept_as_numbers(client: FlaskClient, journal: Database) -> None:
    for word, _, typed in ALL:
        client.post(f"/gear/{word}s/new", data=typed)
    (brewer,), (grinder,), (water,) = (rows_of(journal, model) for _, model, _ in ALL)
    assert (brewer.kind, brewer.capacity_g, brewer.capacity_dose_g) == ("cone", 500, 30)
    assert (grinder.scale, grinder.um_per_step) == ("clicks from closed", 12.5)
    assert (water.hardness_mg_l, water.alkalinity_mg_l) == (120, 65.5)


@pytest.mark.parametrize(
    ("word", "typed", "message"),
    [
        ("brewer", BREWER | {"name": " "}, "Please fill this in."),
        ("brewer", BREWER | {"kind": "kettle"}, "Please choose one from the list."),
        ("brewer", BREWER | {"capacity_g": "much"}, "Please write a number"),
        ("brewer", BREWER | {"capacity_g": ""}, "Say how much water it holds"),
        ("brewer", BREWER | {"capacity_dose_g": "0"}, "Please stay between 0.1 and 2000 g."),
        ("grinder", GRINDER | {"um_per_step": "-1"}, "Please stay between 0.01 and 1000 µm."),
        ("grinder", GRINDER | {"name": "x" * 121}, "Keep this within 120 characters."),
        ("water", WATER | {"hardness_mg_l": "inf"}, "Please write a number"),
        ("water", WATER | {"alkalinity_mg_l": "9999"}, "Please stay between 0 and 5000 mg/L."),
    ],
)
def test_a_slip_is_answered_beside_the_field_and_the_input_stays(
    client: FlaskClient, journal: Database, word: str, typed: dict[str, str], message: str
) -> None:
    answer = client.post(f"/gear/{word}s/new", data=typed | {"note": "kept as typed"})
    assert answer.status_code == 422
    assert message in answer.text
    assert "kept as typed" in answer.text
    assert not any(rows_of(journal, model) for _, model, _ in ALL)


@pytest.mark.parametrize(("word", "model", "typed"), ALL)
def test_gear_is_changed_binned_and_restored(
    client: FlaskClient, journal: Database, word: str, model: type[Any], typed: dict[str, str]
) -> None:
    page = client.post(f"/gear/{word}s/new", data=typed).location
    opened = client.get(page + "/edit").text
    assert f'value="{typed["name"]}"' in opened
    sent = filled(opened, holding="note", name="Old friend")
    assert client.post(page + "/edit", data=sent).status_code == 303
    assert client.post(page + "/edit", data=typed | {"name": ""}).status_code == 422
    assert [row.name for row in rows_of(journal, model)] == ["Old friend"]

    assert client.post(page + "/bin").status_code == 303
    assert "Moved to the bin: Old friend" in text_of(client, page)
    assert "in the bin" in text_of(client, page)
    assert "Old friend" not in text_of(client, "/gear")

    assert client.post(page + "/restore").status_code == 303
    assert [row.binned_at for row in rows_of(journal, model)] == [None]
    client.get(page)
    assert "Old friend" in text_of(client, "/gear")


@pytest.mark.parametrize("path", ["", "/edit"])
def test_gear_that_is_not_there_is_said_plainly(client: FlaskClient, path: str) -> None:
    for word, _, typed in ALL:
        assert client.get(f"/gear/{word}s/77{path}").status_code == 404
        assert client.post(f"/gear/{word}s/77/edit", data=typed).status_code == 404
        assert client.post(f"/gear/{word}s/77/bin").status_code == 404
        assert client.post(f"/gear/{word}s/77/restore").status_code == 404


def test_the_gear_page_says_how_often_and_when_last(
    client: FlaskClient, make: Make, freeze: Callable[[str], None]
) -> None:
    freeze("2026-03-10T12:00")
    used, unused = make.brewer(name="Used"), make.brewer(name="Spare")
    make.brew(brewer=used, brewed_at="2026-03-01T08:00")
    make.brew(brewer=used, brewed_at="2026-03-07T08:00")
    make.brew(brewer=used, brewed_at="2026-03-09T08:00", binned_at=NOON)
    make.brew(brewer=unused, brewed_at="2026-03-08T08:00", binned_at=NOON)
    page = text_of(client, "/gear")
    assert "3 days ago<br>2 brews" in page
    assert page.count("not used yet") == 1


def test_brews_beyond_two_hundred_are_not_counted(client: FlaskClient, make: Make) -> None:
    brewer = make.brewer()
    for _ in range(201):
        make.brew(brewer=brewer)
    assert "200 brews or more" in text_of(client, "/gear")


def test_an_empty_gear_page_offers_the_first_step(client: FlaskClient) -> None:
    page = text_of(client, "/gear")
    for word in ("brewer", "grinder", "water"):
        assert f"No {word} yet." in page
        assert f"/gear/{word}s/new" in page


@pytest.mark.parametrize("kind", KINDS)
def test_a_brewer_page_explains_its_kind_and_warns_of_scalds(
    client: FlaskClient, make: Make, kind: str
) -> None:
    page = text_of(client, f"/gear/brewers/{make.brewer(kind=kind).id}")
    assert KINDS[kind] in page
    assert "scalds" in page
    assert ("flipped" in page) == (kind in ("pressed immersion", "immersion"))


@pytest.mark.parametrize(
    ("kind", "turned", "pressed"),
    [("pressed immersion", True, True), ("immersion", True, False), ("cone", False, False)],
)
def test_the_caution_fits_the_kind_of_brewer(
    client: FlaskClient, make: Make, kind: str, turned: bool, pressed: bool
) -> None:
    page = client.get(f"/gear/brewers/{make.brewer(kind=kind).id}").text
    assert ("flipped brewer can slip" in page) == turned
    assert ("Press gently" in page) == pressed
    assert "keep children away" in page


def test_a_brewer_without_weighed_brews_shows_the_usual_retention(
    client: FlaskClient, make: Make
) -> None:
    page = text_of(client, f"/gear/brewers/{make.brewer(kind='immersion').id}")
    # Liang, Chan, Ristenpart 2021: 2.48, SD 0.19; 95 % lie within 1.96 SD.
    assert '2.5<small>&nbsp;times the dose</small></span> <span class="range">(2.1–2.9)' in page
    assert "Liang" in page
    assert "No measured brews yet." in page


def test_weighed_brews_teach_retention_and_offset_and_say_how_many(
    client: FlaskClient, make: Make
) -> None:
    brewer, grinder = make.brewer(), make.grinder(name="Stone mill")
    for _ in range(3):
        make.brew(brewer=brewer, grinder_id=grinder.id, tds_pct=1.2, beverage_g=190.0)
    make.brew(brewer=brewer, tds_pct=1.2)
    page = text_of(client, f"/gear/brewers/{brewer.id}")
    assert "Learned from 3 brews" in page
    assert "Stone mill" in page
    assert "No grinder noted" in page


def test_learned_ranges_are_of_the_next_brew() -> None:
    cup = Cup("pressed immersion", 15.0, 250.0, water_temp_c=93.0, steep_s=240.0, stirs=2)

    def taught_by(ratio: float, brews: int) -> Calibration:
        return learn([taught(cup, ratio)] * brews)

    known = Learned(
        {(1, 4): taught_by(0.95, 6), (1, None): taught_by(1.1, 9), (2, 4): taught_by(1.2, 8),
         (1, 5): taught_by(1.0, 0)},
        {1: Retained(2.2, 0.2, 6)},
        {},
    )  # fmt: skip
    held = retention_of(1, "pressed immersion", known)
    assert held is not None
    assert (held.value, held.n) == (2.2, 6)
    # 2.160: Student's t of 13 degrees of freedom, tables
    assert (held.low, held.high) == pytest.approx((2.2 - 2.160 * 0.2, 2.2 + 2.160 * 0.2), abs=1e-3)
    assert retention_of(9, "other", known) is None

    best, second = offsets_of(1, known)
    assert (best.grinder_id, best.n, second.grinder_id, second.n) == (None, 9, 4, 6)
    assert -5.0 < second.value < -3.0
    assert second.low < second.value < second.high
    spread = known.calibrations[1, 4].foretell(doubts(cup))
    assert second.low == pytest.approx(100 * (exp(spread.middle - spread.down) - 1))


def test_a_grinder_page_lists_its_latest_settings(client: FlaskClient, make: Make) -> None:
    grinder = make.grinder()
    for n in range(12):
        make.brew(grinder_id=grinder.id, grind_setting=f"mark {n}", grind="coarse")
    page = text_of(client, f"/gear/grinders/{grinder.id}")
    assert ">mark 11</td>" in page
    assert ">mark 2</td>" in page
    assert ">mark 1</td>" not in page


def test_text_is_escaped(client: FlaskClient, make: Make) -> None:
    brewer = make.brewer(name="<script>alert(1)</script>", note="<b>")
    for address in ("/gear", f"/gear/brewers/{brewer.id}", f"/gear/brewers/{brewer.id}/edit"):
        assert "<script>alert" not in client.get(address).text


def test_as_many_questions_to_the_database_for_thirty_as_for_three(
    client: FlaskClient, make: Make, statements: Watch
) -> None:
    seen = {}
    for upto, rows in ((3, 3), (30, 27)):
        for n in range(rows):
            brewer, grinder = make.brewer(name=f"{n}"), make.grinder(name=f"{n}")
            water = make.water(name=f"{n}")
            make.brew(brewer=brewer, grinder_id=grinder.id, water_id=water.id, tds_pct=1.2)
        with statements() as asked:
            client.get("/gear")
            client.get("/gear/brewers/1")
            client.get("/gear/waters/1")
        seen[upto] = len(asked)
    assert seen[3] == seen[30]
