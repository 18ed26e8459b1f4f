"""Each step of a blind test may arrive twice, also long after: it counts once, and no answer, mark
or reason is ever replaced."""

from __future__ import annotations

import re
from uuid import uuid4

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import BlindTaster, SavedForm, TrialBrew
from app.web.security import open_to_network
from tests.support import page
from tests.support.blind import (
    ANSWERED,
    CLAIMED,
    SEEN,
    SERVED,
    all_trials,
    next_trial,
    one_trial,
    planned,
    pour,
    rows,
    trial,
)
from tests.support.factories import Make
from tests.support.phone import MACHINE, Phone, new_code

SEVERAL = {"tasting": "several", "more_names": "Hazel"}
PANEL = {
    "tasting": "panel", "rule": "fixed number", "fixed_trials": "6",
    "more_names": "Hazel, Ilex, Laurel, Olive, Rowan",
}  # fmt: skip


@pytest.fixture
def key() -> dict[str, str]:
    """What a page puts into a form."""
    return {"entry_key": str(uuid4())}


def count(journal: Database, model: type) -> int:
    with Session(journal.reader) as session:
        return session.scalar(select(func.count()).select_from(model)) or 0


def test_drawing_again_gives_the_trial_that_was_drawn(
    client: FlaskClient, journal: Database, key: dict[str, str]
) -> None:
    """C9: also once that trial was answered, when a new tap would draw the next one."""
    test = planned(client)
    drawn = client.post(f"/blind/{test}/next", data=key).location
    pour(client, 1)
    client.post("/blind/trials/1/answer", data={"place": "1", "sure": "yes"})
    assert client.post(f"/blind/{test}/next", data=key).location == drawn
    assert len(all_trials(journal)) == 1
    assert next_trial(client, test) == 2


def test_drawing_again_says_where_the_trial_is_when_the_test_has_ended(
    client: FlaskClient, key: dict[str, str]
) -> None:
    test = planned(client)
    drawn = client.post(f"/blind/{test}/next", data=key).location
    client.post("/blind/trials/1/void", data={"reason": "spilled"})
    client.post(f"/blind/{test}/stop", data={"reason": "no coffee left"})
    assert client.post(f"/blind/{test}/next", data=key).location == drawn


def test_drawing_for_another_taster_with_the_same_form_is_asked_about(
    client: FlaskClient, journal: Database, key: dict[str, str]
) -> None:
    """C3"""
    test = planned(client, **SEVERAL)
    assert client.post(f"/blind/{test}/next", data=key | {"taster_id": "1"}).status_code == 303
    assert client.post(f"/blind/{test}/next", data=key | {"taster_id": "2"}).status_code == 409
    assert len(all_trials(journal)) == 1


@pytest.mark.parametrize("plan", [SEVERAL, PANEL], ids=["several", "panel"])
def test_dealing_again_deals_nothing_more(
    client: FlaskClient, journal: Database, key: dict[str, str], plan: dict[str, str]
) -> None:
    """C9"""
    test = planned(client, **plan)
    dealt = client.post(f"/blind/{test}/deal", data=key).location
    client.post(f"/blind/{test}/claim")
    client.post(f"/blind/{test}/served")
    trials = all_trials(journal)
    for row in trials:
        client.post(f"/blind/trials/{row.id}/answer", data={"place": "1", "sure": "yes"})
    assert client.post(f"/blind/{test}/deal", data=key).location == dealt
    assert len(all_trials(journal)) == len(trials)


def test_claiming_and_covering_again_leave_alone_what_was_drawn_since(
    client: FlaskClient, journal: Database, key: dict[str, str]
) -> None:
    """C9: an old tap that arrives late shows no further key, and covers none unpoured."""
    test, other = planned(client, **SEVERAL), {"entry_key": str(uuid4())}
    client.post(f"/blind/{test}/next", data={"taster_id": "1"})
    client.post(f"/blind/{test}/claim", data=key)
    client.post(f"/blind/{test}/served", data=other)
    client.post(f"/blind/{test}/next", data={"taster_id": "2"})
    client.post(f"/blind/{test}/claim", data=key)
    assert all_trials(journal)[1].poured_by is None
    client.post(f"/blind/{test}/claim")
    client.post(f"/blind/{test}/served", data=other)
    first, second = all_trials(journal)
    assert first.served_at
    assert not second.served_at


def test_claiming_and_covering_one_trial_again_is_harmless(
    client: FlaskClient, journal: Database, key: dict[str, str]
) -> None:
    number = next_trial(client, planned(client))
    for step in ("claim", "claim", "served", "served"):
        assert client.post(f"/blind/trials/{number}/{step}", data=key).status_code == 303
    row = trial(journal, number)
    assert row.claimed_at
    assert row.served_at


def test_joining_again_adds_nobody(
    client: FlaskClient, journal: Database, key: dict[str, str]
) -> None:
    test = planned(client, **SEVERAL)
    for _ in range(2):
        client.post(f"/blind/{test}/tasters", data=key | {"more_names": "Ilex"})
    assert count(journal, BlindTaster) == 3


@pytest.mark.parametrize("place", ["1", "2"])
def test_an_answer_sent_again_says_that_the_trial_was_answered(
    client: FlaskClient, journal: Database, key: dict[str, str], place: str
) -> None:
    """C3, C9: with the same place or another, the answer stands as it was."""
    number = next_trial(client, planned(client))
    pour(client, number)
    where = f"/blind/trials/{number}/answer"
    client.post(where, data=key | {"place": "1", "sure": "yes", "note": "first"})
    client.get(f"/blind/trials/{number}")
    sent = key | {"place": place, "sure": "no", "note": "second"}
    again = client.post(where, data=sent, follow_redirects=True)
    assert "was answered before; that answer stands" in page.text(again.text)
    row = trial(journal, number)
    assert (row.answer, row.sure, row.note) == (1, True, "first")


def test_an_answer_to_a_void_trial_says_so(client: FlaskClient, journal: Database) -> None:
    number = next_trial(client, planned(client))
    pour(client, number)
    for reason in ("spilled", "mixed up"):
        client.post(f"/blind/trials/{number}/void", data={"reason": reason})
    sent = {"place": "1", "sure": "yes"}
    told = client.post(f"/blind/trials/{number}/answer", data=sent, follow_redirects=True)
    assert "This trial was void before." in page.text(told.text)
    assert trial(journal, number).void_reason == "spilled"
    assert trial(journal, number).answer is None


def test_a_mark_sent_again_with_another_value_does_not_change_it(
    client: FlaskClient, journal: Database, key: dict[str, str]
) -> None:
    number = next_trial(client, planned(client, pouring="solo"))
    client.post(f"/blind/trials/{number}/served")
    client.post(f"/blind/trials/{number}/answer", data={"place": "1", "sure": "yes"})
    where = f"/blind/trials/{number}/lift"
    client.post(where, data=key | {"mark": "1"})
    client.get(f"/blind/trials/{number}")
    told = client.post(where, data=key | {"mark": "2"}, follow_redirects=True)
    assert "was noted before, and stands" in page.text(told.text)
    assert trial(journal, number).lifted == "1"


def test_an_old_untying_that_arrives_late_unties_nothing_tied_since(
    client: FlaskClient, journal: Database, make: Make, key: dict[str, str]
) -> None:
    """C9"""
    brew, (_, (row,)) = make.brew(), rows(make, [CLAIMED | SERVED | ANSWERED | SEEN])
    where, tied = f"/blind/trials/{row.id}/brews", {"brew_id": brew.id, "cup": "A"}
    client.post(where, data=tied)
    for _ in range(2):
        assert client.post(f"{where}/{brew.id}/untie", data=key).location.endswith(f"/{row.id}")
        client.post(where, data=tied)
    assert count(journal, TrialBrew) == 1


def test_nothing_is_kept_of_what_a_taster_sends(
    client: FlaskClient, journal: Database, key: dict[str, str]
) -> None:
    """The list of saved forms holds a digest of what was sent: none of an answer or a mark."""
    test = planned(client)
    before = count(journal, SavedForm)
    number = next_trial(client, test)
    pour(client, number)
    client.post(f"/blind/trials/{number}/answer", data=key | {"place": "1", "sure": "yes"})
    client.post(f"/blind/trials/{number}/reveal", data=key)
    assert trial(journal, number).seen_at
    assert count(journal, SavedForm) == before


def test_a_guest_who_answers_again_stays_on_the_guests_page(app: Flask, journal: Database) -> None:
    app.config["WTF_CSRF_ENABLED"] = True
    open_to_network(app, [MACHINE])
    owner = app.test_client()
    opened = page.filled(
        owner.get("/blind/new").text, holding="a_words", a_words="fresh", b_words="used",
        new_taster="Juniper", pouring="helper", tasting="several", more_names="Hazel", p_d_pct="40",
    )  # fmt: skip
    owner.post("/blind/new", data=opened)
    table = owner.get("/blind/1").text
    owner.post("/blind/1/next", data=page.form(table, holding="taster_id"))
    for step in ("claim", "served"):
        html = owner.get("/blind/trials/1/pour").text
        owner.post(f"/blind/trials/1/{step}", data=page.form(html, holding="csrf_token"))
    guest = Phone(app)
    guest.pair(new_code(owner, seat_id=1))
    asked = guest.ask("/blind/trials/1").text
    sent = page.filled(asked, holding="entry_key") | {"place": ["1"], "sure": ["yes"]}
    guest.ask("/blind/trials/1/answer", "POST", data=sent)
    again = guest.ask("/blind/trials/1/answer", "POST", data=sent | {"place": ["2"]})
    assert again.status_code == 303
    shown = guest.ask("/blind/trials/1").text
    assert "that answer stands" in page.text(shown)
    assert 'class="places"' not in shown
    assert all_trials(journal)[0].answer == 1


def test_the_earlier_versions_of_a_test_tell_nothing_of_a_trial(
    client: FlaskClient, journal: Database
) -> None:
    test = planned(client, title="Papers")
    number = one_trial(client, journal, test, right=True)
    html = client.get(f"/blind/{test}/edit").text
    sent = page.filled(html, holding="title", title="New papers")
    client.post(f"/blind/{test}/edit", data=sent)
    told = page.text(client.get(f"/history/blind_test/{test}").text)
    assert "New papers" in told
    row = trial(journal, number)
    assert {row.cups, *row.codes.split()}.isdisjoint(re.findall(r"\w+", told))
