"""Two cups tasted on one page: one taster, a mark for each cup on every scale."""

from __future__ import annotations

from typing import Any

from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Tasting
from tests.support import page
from tests.support.factories import Make

PAIR = "/taste/1/2"


def send(client: FlaskClient, **typed: Any) -> Any:
    opened = client.get(PAIR)
    assert opened.status_code == 200
    names = {name.replace("_", "-", 1): value for name, value in typed.items()}
    return client.post(PAIR, data=page.filled(opened.text, holding="a-liking", **names))


def tastings(journal: Database) -> list[Tasting]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(Tasting).order_by(Tasting.id)))


def two_brews(make: Make) -> None:
    make.brew()
    make.brew(dose_g=15.2)


def test_both_are_saved_for_one_taster_and_one_is_back_at_the_pair(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    two_brews(make)
    juniper = make.taster(name="Juniper")
    make.tasting(make.brew(), taster=juniper)
    answer = send(
        client, a_liking="6", b_liking="7", a_jar_body="2", b_jar_body="3", b_words="rounder"
    )
    assert answer.status_code == 303
    assert answer.location == "/side-by-side/1/2"
    _, a, b = tastings(journal)
    assert (a.brew_id, a.liking, a.jar_body, a.words) == (1, 6, 2, "")
    assert (b.brew_id, b.liking, b.jar_body, b.words) == (2, 7, 3, "rounder")
    assert a.taster_id == b.taster_id == juniper.id
    assert a.tasted_at == b.tasted_at


def test_a_new_taster_is_named_once(client: FlaskClient, journal: Database, make: Make) -> None:
    two_brews(make)
    assert send(client, a_new_taster="Sorrel", a_liking="5", b_liking="5").status_code == 303
    a, b = tastings(journal)
    assert a.taster_id == b.taster_id


def test_only_what_was_said_is_saved(client: FlaskClient, journal: Database, make: Make) -> None:
    two_brews(make)
    assert send(client, a_new_taster="Sorrel", b_liking="8").status_code == 303
    (only,) = tastings(journal)
    assert (only.brew_id, only.liking) == (2, 8)


def test_nothing_said_is_told_and_keeps_what_was_typed(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    two_brews(make)
    refused = send(client, a_new_taster="Sorrel")
    assert refused.status_code == 422
    assert "Nothing was said yet" in page.text(refused.text)
    assert "Sorrel" in refused.text
    assert tastings(journal) == []


def test_a_time_before_the_brews_is_told_beside_the_field(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    two_brews(make)
    refused = send(client, a_new_taster="S", a_liking="5", a_tasted_at="2020-03-01T08:00")
    assert refused.status_code == 422
    assert "This is before both brews were made." in page.text(refused.text)
    assert tastings(journal) == []


def test_one_cup_with_itself_and_a_cup_that_is_not_there_are_no_pair(
    client: FlaskClient, make: Make
) -> None:
    two_brews(make)
    assert client.get("/taste/1/1").status_code == 404
    assert client.get("/taste/1/99").status_code == 404


def test_sent_twice_it_is_saved_once(client: FlaskClient, journal: Database, make: Make) -> None:
    two_brews(make)
    typed = {"a-new_taster": "Sorrel", "a-liking": "4", "b-liking": "6"}
    values = page.filled(client.get(PAIR).text, holding="a-liking", **typed)
    assert [client.post(PAIR, data=values).status_code for _ in range(2)] == [303, 303]
    assert len(tastings(journal)) == 2
