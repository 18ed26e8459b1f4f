"""The first brew of a journal: nothing stands before an "or", gear is named with it, and nothing is
stored that nobody said."""

from __future__ import annotations

import re
from typing import Any

from flask.testing import FlaskClient
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Bag, Brew, Brewer, Grinder
from tests.support import page
from tests.support.factories import Make

NEW = "/brews/new"
FIRST = {"new_bean": "Ridge", "new_brewer_kind": "cone", "dose_g": "13.5", "water_g": "215"}


def send(client: FlaskClient, **typed: Any) -> Any:
    values = page.filled(client.get(NEW).text, holding="dose_g", **typed)
    return client.post(NEW, data=values)


def count(journal: Database, *models: type[Any]) -> list[int]:
    with Session(journal.reader) as session:
        return [session.scalar(select(func.count()).select_from(one)) or 0 for one in models]


def test_an_empty_journal_has_no_or(client: FlaskClient, make: Make) -> None:
    labels = re.findall(r"<label[^>]*>([^<]*)</label>", client.get(NEW).text)
    assert {"Bean", "Kind of brewer", "Its name", "Grinder"} <= set(labels)
    assert [label for label in labels if label.startswith("Or ")] == []
    make.brew()
    assert "Or a brewer that is new here" in client.get(NEW).text


def test_brewer_and_grinder_are_named_with_the_brew_in_one_save(
    client: FlaskClient, journal: Database
) -> None:
    answer = send(client, **FIRST, new_brewer_name="Old faithful", new_grinder="Hand mill")
    assert answer.status_code == 303
    shown = page.text(client.get(answer.location).text)
    assert "Old faithful" in shown
    assert "on Hand mill" in shown
    gear = client.get("/gear/").text
    assert "Old faithful" in gear
    for kind in ("brewers", "grinders"):
        assert client.post(f"/gear/{kind}/1/bin").status_code == 303
    binned = page.text(client.get("/bin").text)
    assert "Old faithful" in binned
    assert "Hand mill" in binned


def test_a_slip_keeps_what_was_named_and_makes_nothing(
    client: FlaskClient, journal: Database
) -> None:
    named = {"new_brewer_name": "Old faithful", "new_grinder": "Hand mill"}
    refused = send(client, **FIRST | {"dose_g": "much"}, **named)
    assert refused.status_code == 422
    again = page.form(refused.text, holding="dose_g")
    for name, value in (named | {"new_bean": "Ridge", "new_brewer_kind": "cone"}).items():
        assert again[name] == [value]
    assert count(journal, Brew, Bag, Brewer, Grinder) == [0, 0, 0, 0]


def test_what_is_missing_is_said_beside_a_field_that_is_there(client: FlaskClient) -> None:
    refused = send(client)
    for name, message in (
        ("new_bean", "Please name the bean."),
        ("new_brewer_kind", "Please say what kind of brewer it is."),
        ("dose_g", "Please fill this in."),
    ):
        assert f'href="#{name}"' in refused.text
        assert f'id="{name}"' in refused.text
        beside = re.search(rf'id="{name}-error"[^>]*>([^<]*)<', refused.text)
        assert beside
        assert message in beside[1]
    assert 'href="#bag_id"' not in refused.text


def test_a_name_without_a_kind_is_asked_for_it(client: FlaskClient, make: Make) -> None:
    make.brew()
    refused = send(client, new_brewer_name="Old faithful")
    assert refused.status_code == 422
    assert 'href="#new_brewer_kind"' in refused.text


def test_a_second_brewer_of_a_kind_can_be_told_from_the_first(
    client: FlaskClient, journal: Database
) -> None:
    for _ in range(2):
        assert send(client, **FIRST).status_code == 303
    with Session(journal.reader) as session:
        assert list(session.scalars(select(Brewer.name).order_by(Brewer.id))) == ["Cone", "Cone 2"]


def test_nothing_is_stored_that_nobody_said(client: FlaskClient, journal: Database) -> None:
    answer = send(client, **FIRST)
    with Session(journal.reader) as session:
        brew = session.scalars(select(Brew)).one()
        said = {"dose_g", "water_g", "bag_id", "brewer_id"}
        own = {"id", "entry_key", "brewed_at", "zone", "brewed_on"}
        for name in set(Brew.__table__.columns.keys()) - said - own:
            assert getattr(brew, name) in (None, "", 0.0, False), name
    shown = page.text(client.get(answer.location).text)
    assert "medium" not in shown.replace("taken as medium", "")
    assert "Grind not noted: taken as medium" in shown


def test_a_worksheets_own_start_is_not_stored(client: FlaskClient) -> None:
    """Of a journal without a brew: what the sheet invented is no steep and no temperature."""
    shown = client.get("/worksheets/strength").text
    links = re.findall(r'href="(/brews/new\?[^"]*)"', shown)
    assert links
    for link in links:
        opened = page.form(client.get(link.replace("&amp;", "&")).text, holding="dose_g")
        assert opened["steep_s"] == opened["water_temp_c"] == opened["grind"] == [""]
        assert opened["dose_g"] != [""]
