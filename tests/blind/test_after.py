"""After the reveal: a preference, a note and "taste again", kept apart from the blind answer."""

from __future__ import annotations

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Afterthought, BlindTaster, Tasting, Trial, TrialBrew
from app.web.security import open_to_network
from tests.support import page
from tests.support.blind import ANSWERED, CLAIMED, SEEN, SERVED, rows
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.phone import MACHINE, Phone, new_code

DONE = CLAIMED | SERVED | ANSWERED | SEEN
CARD = "Now that you know"
ASKED = "Which do you like better, now that you know?"
SOLO = {"pouring": "solo"}
ON_A_TRAY = {"codes": "", "claimed_at": None, "poured_by": None, "lifted": "1"}
HELPER = {"pouring": "helper"}
DIRECTED = {"attribute": "body", "more": "B"}
# Every method, as it can be poured, with a key of which A and B are both tasted.
CASES: list[tuple[str, dict[str, Any], dict[str, Any]]] = [
    ("triangle", HELPER, {"cups": "ABB"}),
    ("triangle", SOLO, {"cups": "ABB"} | ON_A_TRAY),
    ("duo-trio", HELPER, {"cups": "AAB"}),
    ("duo-trio", SOLO, {"cups": "AAB"} | ON_A_TRAY),
    ("tetrad", HELPER, {"cups": "AABB"}),
    ("three-cup", HELPER | DIRECTED, {"cups": "ABA"}),
    ("paired", HELPER | DIRECTED, {"cups": "AB"}),
    ("paired", SOLO | DIRECTED, {"cups": "BA"} | ON_A_TRAY),
    ("preference", HELPER, {"cups": "BA", "sure": None}),
    ("preference", SOLO, {"cups": "BA", "sure": None} | ON_A_TRAY),
    ("A-not-A", HELPER | {"reminder": True}, {"cups": "B", "sure": None}),
    ("same-different", HELPER, {"cups": "AB", "sure": None}),
]
ONE_CUP: list[tuple[str, dict[str, Any], dict[str, Any]]] = [
    ("triangle", HELPER, {"cups": "AAB", "is_control": True}),
    ("A-not-A", HELPER, {"cups": "B", "sure": None}),
    ("A-not-A", HELPER | {"reminder": True}, {"cups": "A", "sure": None}),
    ("A-not-A", SOLO, {"cups": "AB", "sure": None} | ON_A_TRAY),
    ("same-different", HELPER, {"cups": "BB", "sure": None}),
]
NOT_SHOWN = {
    "drawn": ({}, {}),
    "served": ({}, CLAIMED | SERVED),
    "key not shown yet": ({}, CLAIMED | SERVED | ANSWERED),
    "void": ({}, CLAIMED | {"voided_at": NOON, "void_reason": "spilled"}),
    "results hidden": ({"balanced": True, "several_tasters": True}, DONE),
}
all_methods = pytest.mark.parametrize(("method", "plan", "given"), CASES)


def finished(make: Make, **plan: Any) -> Trial:
    """A triangle of one pair, answered and shown."""
    _, (trial,) = rows(make, [DONE | {"cups": "ABB"}], **plan)
    return trial


def poured(make: Make, trial: Trial, a: int, b: int) -> None:
    for cup, brew_id in (("A", a), ("B", b)):
        make.save(TrialBrew(trial_id=trial.id, brew_id=brew_id, cup=cup))


def of(trial: Trial) -> str:
    return f"/blind/trials/{trial.id}"


def shown(client: FlaskClient, trial: Trial) -> str:
    answer = client.get(of(trial))
    assert answer.status_code == 200
    return answer.text


def note(client: FlaskClient, trial: Trial, **typed: str) -> Any:
    """Fill in the form where it stands, on the trial's page or on its own."""
    html = shown(client, trial)
    if f'action="{of(trial)}/after"' not in html:
        html = client.get(f"{of(trial)}/after").text
    sent = page.filled(html, holding="note", **typed)
    return client.post(f"{of(trial)}/after", data=sent)


def noted(journal: Database) -> list[tuple[int, str | None, str]]:
    with Session(journal.reader) as session:
        rows = session.scalars(select(Afterthought))
        return [(row.id, row.preference, row.note) for row in rows]


def tastings(journal: Database) -> list[Tasting]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(Tasting).order_by(Tasting.id)))


@all_methods
def test_a_preference_and_a_note_are_kept_with_every_method(
    client: FlaskClient,
    journal: Database,
    make: Make,
    method: str,
    plan: dict[str, Any],
    given: dict[str, Any],
) -> None:
    _, (trial,) = rows(make, [DONE | given], method=method, **plan)
    before = page.text(shown(client, trial))
    assert ASKED in before
    assert "never counted with it" in before
    assert "ISO 4120" in before
    answer = note(client, trial, preference="a", note="the first was rounder")
    assert answer.location == of(trial)
    assert noted(journal) == [(trial.id, "a", "the first was rounder")]
    after = page.text(shown(client, trial))
    assert "Liked better: Cup A fresh paper" in after
    assert "the first was rounder" in after


@pytest.mark.parametrize(("method", "plan", "given"), ONE_CUP)
def test_no_preference_is_asked_where_one_kind_was_tasted(
    client: FlaskClient,
    journal: Database,
    make: Make,
    method: str,
    plan: dict[str, Any],
    given: dict[str, Any],
) -> None:
    _, (trial,) = rows(make, [DONE | given], method=method, **plan)
    assert ASKED not in page.text(shown(client, trial))
    assert note(client, trial, note="flat", preference="b").status_code == 303
    assert noted(journal) == [(trial.id, None, "flat")]


@pytest.mark.parametrize(("plan", "given"), NOT_SHOWN.values(), ids=NOT_SHOWN)
def test_nothing_is_asked_or_kept_before_the_key_was_shown(
    client: FlaskClient, journal: Database, make: Make, plan: dict[str, Any], given: dict[str, Any]
) -> None:
    fixed = {"rule": "fixed number", "fixed_trials": 6} if plan else {}
    _, (trial,) = rows(make, [given | {"cups": "ABB"}], **plan | fixed)
    a, b = make.brew(), make.brew()
    poured(make, trial, a.id, b.id)
    assert CARD not in page.text(shown(client, trial))
    for ask in (client.get, client.post):
        assert ask(f"{of(trial)}/after", data={"note": "x"}).location == of(trial)
    for address in (f"/brews/{a.id}/taste", f"/taste/{a.id}/{b.id}"):
        assert client.get(f"{address}?after={trial.id}").status_code == 404
        assert client.post(f"{address}?after={trial.id}", data={}).status_code == 404
    assert noted(journal) == []


def test_what_is_wrong_is_told_beside_the_form_and_nothing_is_lost(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    trial = finished(make)
    empty = note(client, trial)
    assert empty.status_code == 422
    assert "Nothing was said yet" in page.text(empty.text)
    odd = note(client, trial, preference="c", note="kept while I choose")
    assert odd.status_code == 422
    assert "Please choose one of these." in page.text(odd.text)
    assert page.form(odd.text, holding="note")["note"] == ["kept while I choose"]
    assert noted(journal) == []


def test_it_is_saved_once_and_what_it_was_before_comes_back(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    trial = finished(make)
    sent = page.filled(shown(client, trial), holding="note", note="thin", preference="b")
    for _ in range(2):
        assert client.post(f"{of(trial)}/after", data=sent).location == of(trial)
    assert note(client, trial, note="", preference="").location == of(trial)
    assert noted(journal) == [(trial.id, None, "")]
    history = client.get(f"/history/afterthought/{trial.id}")
    assert page.text(history.text).count("From this computer") == 2
    (earlier, _) = re.findall(r'href="([^"]*before_change=[^"]*)"', history.text)
    back = page.filled(client.get(earlier).text, holding="note")
    assert (back["note"], back["preference"]) == (["thin"], ["b"])
    client.post(f"{of(trial)}/after", data=back)
    assert noted(journal) == [(trial.id, "b", "thin")]


def test_two_who_say_something_at_once_are_told(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    trial = finished(make)
    mine = page.filled(shown(client, trial), holding="note", note="mine")
    assert note(client, trial, note="theirs").status_code == 303
    told = client.post(f"{of(trial)}/after", data=mine)
    assert told.status_code == 409
    assert {"mine", "theirs"} <= set(page.text(told.text).split())
    assert noted(journal) == [(trial.id, None, "theirs")]


def test_both_cups_are_tasted_again_on_one_page_and_one_is_back_at_the_trial(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    a, b = make.brew(), make.brew()
    trial = finished(make)
    poured(make, trial, a.id, b.id)
    (again,) = re.findall(r'href="(/taste/[^"]+)"', shown(client, trial))
    opened = client.get(again)
    assert "after the reveal" in page.text(opened.text)
    assert "a-blind" not in opened.text
    typed = {"a-liking": "6", "b-liking": "8", "b-jar_body": "3", "b-words": "rounder"}
    sent = page.filled(opened.text, holding="a-liking", **typed) | {"a-blind": ["y"]}
    for _ in range(2):  # counts once
        assert client.post(again, data=sent).location == of(trial)
    of_a, of_b = tastings(journal)
    assert [(t.brew_id, t.liking, t.blind, t.after_trial_id) for t in (of_a, of_b)] == [
        (a.id, 6, False, trial.id),
        (b.id, 8, False, trial.id),
    ]
    assert of_a.taster_id == of_b.taster_id == trial.taster_id
    said = page.text(shown(client, trial))
    assert "Tasted again" in said
    assert "rounder · Just right: body." in said
    changed = page.filled(
        client.get(f"/tastings/{of_b.id}/edit").text, holding="liking", liking="7"
    ) | {"blind": ["y"]}
    assert client.post(f"/tastings/{of_b.id}/edit", data=changed).status_code == 303
    of_b = tastings(journal)[1]
    assert (of_b.liking, of_b.blind, of_b.after_trial_id) == (7, False, trial.id)
    assert "after the reveal" in page.text(client.get(f"/brews/{b.id}").text)
    assert "after the reveal" in page.text(client.get("/tastings/").text)


def test_each_cup_is_tasted_again_by_itself_where_there_is_no_pair(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    a, b, other = make.brew(), make.brew(), make.brew()
    trial = finished(make, brewing="every cup its own")
    poured(make, trial, a.id, b.id)
    make.save(TrialBrew(trial_id=trial.id, brew_id=other.id, cup="B"))
    html = shown(client, trial)
    assert "Taste B, brew 2 again, now knowing" in page.text(html)
    again = re.findall(r'href="(/brews/\d+/taste\?after=[^"]+)"', html)
    assert len(again) == 3
    sent = page.filled(client.get(again[2]).text, holding="liking", liking="4")
    assert client.post(again[2], data=sent).location == of(trial)
    (only,) = tastings(journal)
    assert (only.brew_id, only.after_trial_id) == (other.id, trial.id)


def test_no_other_brew_is_tasted_after_a_trial(client: FlaskClient, make: Make) -> None:
    a, b, stranger = make.brew(), make.brew(), make.brew()
    trial = finished(make)
    poured(make, trial, a.id, b.id)
    for address in (f"/brews/{stranger.id}/taste", f"/taste/{a.id}/{stranger.id}"):
        assert client.get(f"{address}?after={trial.id}").status_code == 404
    assert client.get(f"/brews/{a.id}/taste?after=999").status_code == 404


@pytest.mark.parametrize(
    ("plan", "ended", "first"),
    [
        ({}, False, "Next trial"),
        ({"several_tasters": True}, False, "Next trial for Juniper"),
        ({}, True, "All trials and charts"),
        ({"rule": "fixed number", "fixed_trials": 6, "controls": 2}, False, "Next trial"),
    ],
)
def test_the_way_on_is_the_first_thing_after_the_reveal(
    client: FlaskClient, make: Make, plan: dict[str, Any], ended: bool, first: str
) -> None:
    """Also where no result is shown before the end."""
    end = {"ended": "stopped", "stopped_at": NOON, "stopped_why": "enough"} if ended else {}
    _, (trial,) = rows(make, [DONE | {"cups": "ABB"}], **plan | end)
    main = shown(client, trial).partition("<main")[2]
    named = re.search(r"<(?:a|button|input|select|textarea)\b(?![^>]*hidden)[^>]*>([^<]*)", main)
    assert named is not None
    assert named[1].strip() == first
    assert main.count(">Next trial") == (not ended)
    if not ended:
        sent = page.form(main, holding="taster_id")
        assert client.post(f"/blind/{trial.test_id}/next", data=sent).location.startswith(
            "/blind/trials/"
        )


def test_a_guest_says_what_they_think_and_sees_no_journal(
    app: Flask, client: FlaskClient, journal: Database, make: Make
) -> None:
    a, b = make.brew(), make.brew()
    trial = finished(make, several_tasters=True)
    poured(make, trial, a.id, b.id)
    open_to_network(app, [MACHINE])
    guest = Phone(app)
    with Session(journal.reader) as session:
        seat_id = session.scalars(select(BlindTaster.id)).one()
    guest.pair(new_code(client, seat_id))
    html = guest.ask(of(trial)).text
    assert CARD in page.text(html)
    assert "/taste/" not in html
    assert "/history/" not in html
    sent = page.filled(html, holding="note", note="from my own phone", preference="b")
    assert guest.ask(f"{of(trial)}/after", "POST", data=sent).status_code == 303
    assert noted(journal) == [(trial.id, "b", "from my own phone")]
    late = sent | {"note": ["another"], "entry_key": [""]}
    clash = guest.ask(f"{of(trial)}/after", "POST", data=late)
    assert clash.status_code == 409
    assert 'aria-label="Places"' not in clash.text
