"""A sitting that was left in the middle, and what it refers to has gone since."""

from __future__ import annotations

from datetime import timedelta

import pytest
from flask.testing import FlaskClient

from app.database import Database
from app.models import Bag, Brew, Brewer, Question
from tests.sittings.test_run import Freeze, newest, prefer, taste
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.sitting import a_pair, brew_line, line_ids, sheet


def put_in_the_bin(
    journal: Database, kind: type[Bag] | type[Brew] | type[Brewer] | type[Question], row_id: int
) -> None:
    with journal.writing() as session:
        session.get_one(kind, row_id).binned_at = NOON


def test_the_brew_that_all_cups_are_like_is_gone_and_no_other_is_there(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    sitting, _ = a_pair(journal, make)
    (like,) = newest(journal, 1)
    put_in_the_bin(journal, Brew, like.id)
    line, *_ = line_ids(journal, sitting)
    assert brew_line(client, line).location == f"/sittings/lines/{line}"
    a, b = newest(journal, 2)
    assert (a.dose_g, a.steep_s, a.stirs, b.stirs) == (13.5, 95, 0, 2)
    assert "1 of 4 lines done" in sheet(client, sitting)
    with journal.writing() as session:
        for brew in (a, b):
            session.get_one(Brew, brew.id).binned_at = NOON
    assert client.get("/brews/two/new").location == "/brews/new"


def test_a_tasted_cup_that_is_gone_is_brewed_before_it_is_tasted_again(
    client: FlaskClient, journal: Database, make: Make, freeze: Freeze
) -> None:
    sitting, _ = a_pair(journal, make)
    line, *_ = line_ids(journal, sitting)
    brew_line(client, line)
    a, b = newest(journal, 2)
    freeze(NOON + timedelta(minutes=6))
    taste(client, a, b)
    prefer(client, a, b, "b")
    put_in_the_bin(journal, Brew, a.id)
    said = sheet(client, sitting)
    assert "Next, line 1 Brew A and B along" in said
    assert "First brew the cups." in said
    assert "Taste both" not in said
    assert client.get(f"/brews/two/new?line={line}").location == f"/brews/new?line={line}"


@pytest.mark.parametrize("brewed", [False, True])
@pytest.mark.parametrize("kind", [Question, Bag, Brewer])
def test_what_a_sitting_refers_to_is_gone_and_it_can_be_ended(
    client: FlaskClient,
    journal: Database,
    make: Make,
    freeze: Freeze,
    kind: type[Bag] | type[Brewer] | type[Question],
    brewed: bool,
) -> None:
    sitting, question = a_pair(journal, make)
    (like,) = newest(journal, 1)
    if brewed:
        brew_line(client, line_ids(journal, sitting)[0])
    row_id = {Question: question, Bag: like.bag_id, Brewer: like.brewer_id}[kind]
    put_in_the_bin(journal, kind, row_id)
    freeze(NOON + timedelta(days=3))
    said = sheet(client, sitting)
    assert f"Next, line {3 if brewed else 1} " in said
    if not brewed:
        assert ("in the bin" in said) == (kind is not Question)
    assert client.get("/").status_code == 200
    assert client.post(f"/sittings/{sitting}/end").status_code == 303
    assert "Take it up again" in sheet(client, sitting)
