"""Alike brewers on the pages of gear: added in one tap, marked, taken apart, brought back."""

from __future__ import annotations

import re
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Brewer
from tests.support import page
from tests.support.clock import NOON
from tests.support.factories import Make

EDIT = "/gear/brewers/{}/edit"


def firsts(journal: Database) -> dict[str, int | None]:
    with Session(journal.reader) as session:
        rows = session.execute(select(Brewer.name, Brewer.alike_to_id).order_by(Brewer.id))
        return {row.name: row.alike_to_id for row in rows}


def change(client: FlaskClient, brewer: Brewer, query: str = "", **typed: str) -> Any:
    opened = client.get(EDIT.format(brewer.id) + query)
    return client.post(
        EDIT.format(brewer.id), data=page.filled(opened.text, holding="note", **typed)
    )


def history(client: FlaskClient, brewer: Brewer) -> str:
    return page.text(client.get(f"/history/brewer/{brewer.id}").text)


def test_another_one_is_added_in_one_tap(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    press = make.brewer(name="Press", capacity_g=355.0)
    shown = client.get(f"/gear/brewers/{press.id}").text
    assert "Do you own two or three of these?" in shown
    (sent,) = (held for form, held in page.read(shown).forms if form["action"].endswith("/another"))
    answers = [client.post(f"/gear/brewers/{press.id}/another", data=sent) for _ in range(2)]
    assert {answer.location for answer in answers} == {f"/gear/brewers/{press.id + 1}"}
    assert firsts(journal) == {"Press": None, "Press, right": press.id}
    other = page.text(client.get(answers[0].location).text)
    assert "Alike to Press . They count as one" in other
    assert "355" in other
    assert "Alike to Press, right ." in page.text(client.get(f"/gear/brewers/{press.id}").text)
    assert page.text(client.get("/gear").text).count("alike") == 2


def test_brewers_of_before_are_marked_and_taken_apart_from_either_side(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    left, right = make.brewer(name="Left press"), make.brewer(name="Right press")
    for brewer, other in ((left, right), (right, left)):
        assert change(client, brewer, alike_id=str(other.id)).status_code == 303
        assert firsts(journal) == {"Left press": None, "Right press": left.id}
        assert change(client, brewer, alike_id="").status_code == 303
        assert firsts(journal) == {"Left press": None, "Right press": None}


def test_marking_is_noted_with_both_and_can_be_brought_back(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    left, right = make.brewer(name="Left press"), make.brewer(name="Right press")
    change(client, right, alike_id=str(left.id))
    assert "Alike to – Left press" in history(client, right)
    assert "Alike to – Right press" in history(client, left)
    assert change(client, left, "?before_change=1").status_code == 303
    assert firsts(journal) == {"Left press": None, "Right press": None}
    assert change(client, right, "?before_change=2").status_code == 303
    assert firsts(journal) == {"Left press": None, "Right press": left.id}


def test_a_form_opened_before_another_was_marked_does_not_undo_it(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    left, right = make.brewer(name="Left press"), make.brewer(name="Right press")
    stale = page.filled(client.get(EDIT.format(left.id)).text, holding="note", name="Old press")
    change(client, right, alike_id=str(left.id))
    asked = client.post(EDIT.format(left.id), data=stale)
    assert asked.status_code == 409
    assert "Right press" in page.text(asked.text)
    assert firsts(journal) == {"Left press": None, "Right press": left.id}


def test_the_first_of_three_leaves_and_the_others_stay_alike(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    one = make.brewer(name="One")
    two = make.brewer(name="Two", alike_to_id=one.id)
    make.brewer(name="Three", alike_to_id=one.id)
    assert change(client, one, alike_id="").status_code == 303
    assert firsts(journal) == {"One": None, "Two": None, "Three": two.id}


@pytest.mark.parametrize("changed", ["kind", "alike_id"])
def test_two_kinds_are_refused_beside_the_field(
    client: FlaskClient, journal: Database, make: Make, changed: str
) -> None:
    press = make.brewer(name="Press")
    other = make.brewer(name="Cone", kind="cone")
    twin = make.brewer(name="Twin", alike_to_id=press.id)
    typed = {"kind": "cone"} if changed == "kind" else {"alike_id": str(other.id)}
    refused = change(client, twin, **typed, note="kept as typed")
    assert refused.status_code == 422
    assert "Alike brewers are of one kind" in refused.text
    assert "kept as typed" in refused.text
    assert firsts(journal) == {"Press": None, "Cone": None, "Twin": press.id}


def test_a_new_brewer_can_be_alike_from_the_start(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    assert "Alike to" not in client.get("/gear/brewers/new").text
    press = make.brewer(name="Press")
    typed = {"name": "Second", "kind": press.kind, "alike_id": str(press.id)}
    assert client.post("/gear/brewers/new", data=typed | {"alike_id": "77"}).status_code == 422
    assert client.post("/gear/brewers/new", data=typed).status_code == 303
    assert firsts(journal) == {"Press": None, "Second": press.id}


def test_one_in_the_bin_stays_alike_and_is_not_picked(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    left = make.brewer(name="Left press")
    right = make.brewer(name="Right press", alike_to_id=left.id)
    client.post(f"/gear/brewers/{right.id}/bin")
    assert "Right press (in the bin)" in page.text(client.get(f"/gear/brewers/{left.id}").text)
    assert "Right press" not in client.get("/brews/new").text
    assert change(client, left, name="Left one").status_code == 303
    assert firsts(journal) == {"Left one": None, "Right press": left.id}
    client.post(f"/gear/brewers/{right.id}/restore")
    assert "Alike to Right press ." in page.text(client.get(f"/gear/brewers/{left.id}").text)


def test_alike_ones_stand_together_and_equal_names_are_told_apart(
    client: FlaskClient, make: Make
) -> None:
    right = make.brewer(name="Press, right")
    make.brewer(name="Pot")
    make.brewer(name="A press, left", alike_to_id=right.id)
    for _ in range(2):
        make.brewer(name="Jug")
    make.brewer(name="Gone", binned_at=NOON)
    form = client.get("/brews/new").text
    select_box = form[form.index('name="brewer_id"') : form.index('name="new_brewer_kind"')]
    listed = re.findall(r"<option[^>]*>([^<]+)", select_box)
    assert listed[-5:] == ["A press, left", "Press, right", "Jug", "Jug (2)", "Pot"]


def test_all_brewers_can_be_changed_at_once(
    app: Flask, client: FlaskClient, journal: Database, make: Make
) -> None:
    """Who changes the left one and who changes the right one do not wait for each other."""
    left = make.brewer(name="Left press")
    brewers = [left, make.brewer(name="Right press", alike_to_id=left.id), make.brewer(name="Pot")]
    sent = [
        page.filled(client.get(EDIT.format(one.id)).text, holding="note", note="at once")
        for one in brewers
    ]

    def save(n: int) -> int:
        return app.test_client().post(EDIT.format(brewers[n].id), data=sent[n]).status_code

    with ThreadPoolExecutor(3) as pool:
        assert list(pool.map(save, range(3))) == [303] * 3
    assert firsts(journal) == {"Left press": None, "Right press": left.id, "Pot": None}
