"""A finished trial and the brews it was poured from: logged from its page, or tied to it."""

from __future__ import annotations

import re
from datetime import timedelta
from html import unescape
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.blind.evidence import blind_evidence_of
from app.journal.uses import uses_of_brews
from app.models import BlindTest, Brew, Trial, TrialBrew
from app.web.security import open_to_network
from tests.support import blind, page
from tests.support.blind import ANSWERED, CLAIMED, SEEN, SERVED, one_trial, rows
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.phone import MACHINE, Phone, new_code, seat

CARD = "Brews it was poured from"
DONE = CLAIMED | SERVED | ANSWERED | SEEN
HELD = {"served_at": NOON, "answered_at": NOON, "answered_by": "b" * 64, "answer": 2}
FRESH, ONE, OWN = (
    {"brewing": brewing} for brewing in ("fresh pair each trial", "one pair", "every cup its own")
)
NOT_TIED = {
    "drawn": ({}, {}),
    "served": ({}, CLAIMED | SERVED),
    "key not shown yet": ({}, CLAIMED | SERVED | ANSWERED),
    "void": ({}, CLAIMED | {"voided_at": NOON, "void_reason": "spilled"}),
    "solo, mark not read": ({"pouring": "solo"}, HELD | {"sure": True, "codes": ""}),
    "results hidden": ({"balanced": True, "several_tasters": True}, DONE),
}


def finished(make: Make, cups: str = "ABB", plan: dict[str, Any] = FRESH, **given: Any) -> Trial:
    """A trial of a new test, answered and shown."""
    _, (trial,) = rows(make, [DONE | {"cups": cups} | given], **plan)
    return trial


def shown(client: FlaskClient, trial: Trial) -> str:
    answer = client.get(f"/blind/trials/{trial.id}")
    assert answer.status_code == 200
    return answer.text


def said(client: FlaskClient, trial: Trial) -> str:
    return page.text(shown(client, trial))


def log_links(html: str) -> dict[str, str]:
    """The addresses behind "Log A" and "Log B", in the order they stand."""
    found = re.findall(r'href="(/brews/new\?[^"]+)">Log ([AB])<', html)
    return {cup: unescape(address) for address, cup in found}


def log(client: FlaskClient, trial: Trial, cup: str, **typed: Any) -> Any:
    """Tap "Log A" or "Log B" on the trial's page, type over some fields, save."""
    opened = client.get(log_links(shown(client, trial))[cup])
    values = page.filled(opened.text, holding="dose_g", **typed)
    return client.post("/brews/new", data=values)


def tie(client: FlaskClient, trial: Trial, cup: str, brew_id: Any) -> Any:
    sent = {"cup": cup, "brew_id": str(brew_id)}
    answer = client.post(f"/blind/trials/{trial.id}/brews", data=sent)
    assert answer.location == f"/blind/trials/{trial.id}"
    return answer


def ties(journal: Database, trial: Trial) -> list[tuple[str, int]]:
    query = select(TrialBrew.cup, TrialBrew.brew_id).where(TrialBrew.trial_id == trial.id)
    with Session(journal.reader) as session:
        return sorted((row.cup, row.brew_id) for row in session.execute(query))


def brews(journal: Database) -> int:
    with Session(journal.reader) as session:
        return session.scalar(select(func.count()).select_from(Brew)) or 0


def test_both_brews_of_a_trial_are_logged_from_its_page(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    make.brew()
    test, _ = rows(make, [], **FRESH)
    number = one_trial(client, journal, test.id, right=True)
    trial = blind.trial(journal, number)
    assert sorted(log_links(shown(client, trial))) == ["A", "B"]
    for cup in ("A", "B"):
        answer = log(client, trial, cup, note=f"cup {cup}")
        assert answer.location == f"/blind/trials/{number}"
        assert "Brew saved." in said(client, trial)
    assert [cup for cup, _ in ties(journal, trial)] == ["A", "B"]
    assert "Not in the journal" not in said(client, trial)
    assert log_links(shown(client, trial)) == {}
    with Session(journal.reader) as session:
        for cup, brew_id in ties(journal, trial):
            assert session.get_one(Brew, brew_id).note == f"cup {cup}"


def test_the_form_starts_from_what_the_test_names(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    recipe, paper = make.recipe(dose_g=17.0, water_g=240.0), make.filter()
    like = make.brew(dose_g=12.0, steep_s=77, grind_setting="18 clicks")
    make.brew(dose_g=30.0)
    named = {"a_brew_id": like.id, "a_revision_id": recipe.revisions[0].id}
    used = {"a_filter_id": paper.id, "a_filter_use": 1}
    trial = finished(make, plan=FRESH | named | used)
    client.set_cookie("zone", "Asia/Tokyo")
    html = client.get(log_links(shown(client, trial))["A"]).text
    values = page.form(html, holding="dose_g")
    assert "Cup A of a blind trial" in page.text(html)
    assert (values["dose_g"], values["water_g"]) == (["17"], ["240"])
    assert values["grind_setting"] == ["18 clicks"]
    assert values["filter_1"] == [str(paper.id)]
    assert values["brewed_at"] == ["2026-09-15T21:00"]
    plain = page.form(client.get(log_links(shown(client, trial))["B"]).text, holding="dose_g")
    assert (plain["dose_g"], plain["filter_1"]) == (["30"], [""])
    log(client, trial, "A")
    with Session(journal.reader) as session:
        assert session.get_one(Brew, ties(journal, trial)[0][1]).brewed_at == NOON


def test_the_next_trial_starts_from_the_last_a_and_the_last_b(
    client: FlaskClient, make: Make
) -> None:
    make.brew()
    _, (first, second) = rows(make, [DONE, DONE], **FRESH)
    log(client, first, "A", dose_g="12")
    log(client, first, "B", dose_g="18")
    doses = {
        cup: page.form(client.get(address).text, holding="dose_g")["dose_g"]
        for cup, address in log_links(shown(client, second)).items()
    }
    assert doses == {"A": ["12"], "B": ["18"]}


def test_what_was_brewed_first_is_logged_first(client: FlaskClient, make: Make) -> None:
    for first, order in (("A", ["A", "B"]), ("B", ["B", "A"])):
        trial = finished(make, brewed_first=first)
        assert list(log_links(shown(client, trial))) == order


@pytest.mark.parametrize(
    ("plan", "cups", "control", "wanted"),
    [
        (ONE, "ABB", False, {"A": 1, "B": 1}),
        (ONE, "ABB", True, {"A": 1}),
        (FRESH, "ABB", False, {"A": 1, "B": 1}),
        (FRESH, "ABB", True, {"A": 2}),
        (OWN, "AAB", False, {"A": 2, "B": 1}),
        (OWN, "ABB", False, {"A": 1, "B": 2}),
        (OWN, "ABB", True, {"A": 3}),
    ],
)
def test_as_many_brews_are_asked_for_as_were_made(
    client: FlaskClient,
    make: Make,
    journal: Database,
    plan: dict[str, str],
    cups: str,
    control: bool,
    wanted: dict[str, int],
) -> None:
    trial = finished(make, cups, plan, is_control=control)
    missing = dict(wanted)
    make.brew()
    while missing:
        counts = ", ".join(f"{count} of {cup}" for cup, count in missing.items())
        assert f"Not in the journal yet: {counts}." in said(client, trial)
        cup = next(iter(missing))
        log(client, trial, cup)
        missing[cup] -= 1
        missing = {cup: count for cup, count in missing.items() if count}
    assert "Not in the journal yet" not in said(client, trial)
    tied = [cup for cup, _ in ties(journal, trial)]
    assert {cup: tied.count(cup) for cup in tied} == wanted
    tie(client, trial, "A", make.brew().id)
    assert len(ties(journal, trial)) == len(tied)
    assert "the trial misses none of A" in said(client, trial)


@pytest.mark.parametrize("stage", NOT_TIED)
def test_no_brew_is_tied_before_the_key_is_shown(
    client: FlaskClient, make: Make, journal: Database, stage: str
) -> None:
    plan, given = NOT_TIED[stage]
    _, (trial,) = rows(make, [given | {"cups": "ABA"}], **FRESH | plan)
    there = make.brew(brewed_at=NOON)
    assert CARD not in said(client, trial)
    values = page.filled(client.get("/brews/new").text, holding="dose_g", note="kept")
    answer = client.post("/brews/new", data=values | {"trial_id": str(trial.id), "cup": "A"})
    assert answer.location.startswith("/brews/")
    told = page.text(client.get(answer.location).text)
    assert "Brew saved. That trial is not finished, so no brew was tied to it." in told
    assert "kept" in told
    tie(client, trial, "A", there.id)
    client.post(f"/blind/trials/{trial.id}/brews/same")
    assert ties(journal, trial) == []
    assert brews(journal) == 2


def test_a_trial_that_is_not_there_takes_no_brew(client: FlaskClient, make: Make) -> None:
    make.brew()
    opened = client.get("/brews/new?trial_id=999&cup=A&brewed_at=never")
    values = page.filled(opened.text, holding="trial_id", brewed_at="")
    told = page.text(client.get(client.post("/brews/new", data=values).location).text)
    assert "Brew saved. That trial is not finished" in told
    for step in ("brews", "brews/same", "brews/1/untie"):
        assert client.post(f"/blind/trials/999/{step}").status_code == 404


def test_a_slip_keeps_the_trial_and_a_double_tap_saves_one_brew(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    make.brew()
    trial = finished(make)
    slip = log(client, trial, "B", dose_g="much")
    assert slip.status_code == 422
    values = page.filled(slip.text, holding="trial_id", dose_g="15")
    for _ in range(3):
        assert client.post("/brews/new", data=values).location == f"/blind/trials/{trial.id}"
    assert "misses none" not in said(client, trial)
    assert [cup for cup, _ in ties(journal, trial)] == ["B"]
    assert brews(journal) == 2


def test_a_trial_counts_a_use_of_its_filter_at_the_time_it_was_served(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    paper = make.filter()
    before = make.brew(filters=[paper], brewed_at=NOON - timedelta(days=1))
    used = {"b_filter_id": paper.id, "b_filter_use": 2}
    trial = finished(make, plan=FRESH | used)
    after = make.brew(filters=[paper], brewed_at=NOON + timedelta(minutes=5))
    uses = f"/filters/{paper.id}"
    assert "Uses 2 " in page.text(client.get(uses).text)
    log(client, trial, "B")
    (tied,) = [brew_id for _, brew_id in ties(journal, trial)]
    with Session(journal.reader) as session:
        stacks = uses_of_brews(session, [before.id, tied, after.id])
    assert [stacks[brew][0].number for brew in (before.id, tied, after.id)] == [1, 2, 3]
    assert "Uses 3 " in page.text(client.get(uses).text)


def test_a_filter_that_is_retired_is_left_out_and_a_stack_that_holds_it_stays(
    client: FlaskClient, make: Make
) -> None:
    base, paper = make.filter(), make.filter()
    like = make.brew(filters=[base, paper])
    named = {"a_brew_id": like.id, "a_filter_id": paper.id, "a_filter_use": 2}
    trial = finished(make, plan=FRESH | named)

    def stack() -> list[list[str]]:
        html = client.get(log_links(shown(client, trial))["A"]).text
        values = page.form(html, holding="dose_g")
        return [values[f"filter_{slot}"] for slot in (1, 2)]

    assert stack() == [[str(base.id)], [str(paper.id)]]
    client.post(f"/filters/{paper.id}/retire")
    assert stack() == [[""], [""]]


def test_a_brew_that_was_logged_before_can_be_tied_and_untied(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    early = make.brew(brewed_at=NOON - timedelta(hours=11))
    late = make.brew(brewed_at=NOON + timedelta(minutes=90))
    make.brew(brewed_at=NOON - timedelta(hours=13))
    make.brew(brewed_at=NOON + timedelta(hours=3))
    make.put_in_the_bin(make.brew(brewed_at=NOON))
    trial = finished(make)
    html = shown(client, trial)
    offered = re.findall(r'<option value="(\d+)"', html)
    assert offered == [str(late.id), str(early.id)]
    tie(client, trial, "A", early.id)
    tie(client, trial, "A", early.id)
    assert ties(journal, trial) == [("A", early.id)]
    tie(client, trial, "B", early.id)
    assert "tied to the trial already" in unescape(said(client, trial))
    assert re.findall(r'<option value="(\d+)"', shown(client, trial)) == [str(late.id)]
    answer = client.post(f"/blind/trials/{trial.id}/brews/{early.id}/untie")
    assert answer.location == f"/blind/trials/{trial.id}"
    assert ties(journal, trial) == []
    assert brews(journal) == 5


@pytest.mark.parametrize("cup", ["", "C", "a", "AB", "\x00", "9" * 400])
@pytest.mark.parametrize("brew_id", ["", "0", "-1", "1e9", "999999999", "\x00", "9" * 400])
def test_nonsense_ties_nothing_and_is_answered_by_a_sentence(
    client: FlaskClient, make: Make, journal: Database, cup: str, brew_id: str
) -> None:
    trial, brew = finished(make), make.brew(brewed_at=NOON)
    for sent in ((cup, brew_id), ("A", brew_id), (cup, brew.id)):
        tie(client, trial, *sent)
        assert "No brew was tied" in said(client, trial)
    assert ties(journal, trial) == []


def test_the_same_brews_serve_all_trials_of_a_sitting(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    at = [NOON - timedelta(hours=26), NOON - timedelta(minutes=50), NOON]
    given = [DONE | {"served_at": moment} for moment in at]
    control = DONE | {"is_control": True, "served_at": NOON - timedelta(minutes=5)}
    _, (yesterday, first, second, against) = rows(make, [*given, control], **ONE)
    make.brew()
    assert "Same brews" not in said(client, second)
    log(client, first, "A")
    log(client, first, "B")
    assert "Same brews" not in said(client, yesterday)
    assert f"Same brews as trial {first.number}" in said(client, second)
    for trial in (second, against):
        client.post(f"/blind/trials/{trial.id}/brews/same")
    pair = ties(journal, first)
    assert [cup for cup, _ in pair] == ["A", "B"]
    assert ties(journal, second) == pair
    assert ties(journal, against) == pair[:1]
    client.post(f"/blind/trials/{yesterday.id}/brews/same")
    assert ties(journal, yesterday) == []
    assert "no other trial from the same pair" in said(client, yesterday)


def test_fresh_pairs_are_never_taken_over(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    _, (first, second) = rows(make, [DONE, DONE], **FRESH)
    make.save(TrialBrew(trial_id=first.id, brew_id=make.brew().id, cup="A"))
    assert "Same brews" not in said(client, second)
    client.post(f"/blind/trials/{second.id}/brews/same")
    assert ties(journal, second) == []


def test_the_pair_that_the_plan_names_need_not_be_logged_again(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    a, b = make.brew(brewed_at=NOON), make.brew(brewed_at=NOON)
    named = {"a_brew_id": a.id, "b_brew_id": b.id}
    trial = finished(make, plan=ONE | named)
    html = shown(client, trial)
    assert "in the plan" in page.text(html)
    assert log_links(html) == {}
    tie(client, trial, "A", a.id)
    assert ties(journal, trial) == []
    control = finished(make, plan=ONE | named, is_control=True)
    assert f"/brews/{b.id}" not in shown(client, control)
    afresh = finished(make, plan=FRESH | named)
    assert list(log_links(shown(client, afresh))) == ["A", "B"]
    _, (old,) = rows(make, [DONE | {"served_at": NOON - timedelta(days=3)}], **ONE | named)
    assert list(log_links(shown(client, old))) == ["A", "B"]


def test_a_tied_brew_in_the_bin_is_shown_as_such_and_missing_again(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    make.brew()
    _, (trial, next_one) = rows(make, [DONE, DONE], **ONE)
    log(client, trial, "A")
    (tied,) = ties(journal, trial)
    client.post(f"/brews/{tied[1]}/bin")
    told = said(client, trial)
    assert "in the bin" in told
    assert "Not in the journal yet: 1 of A, 1 of B" in told
    assert "Same brews" not in said(client, next_one)
    client.post(f"/brews/{tied[1]}/restore")
    assert "Not in the journal yet: 1 of B" in said(client, trial)


def test_a_brew_shows_the_evidence_of_the_trial_it_was_logged_for(
    app: Flask, client: FlaskClient, make: Make, journal: Database
) -> None:
    bag, paper = make.bag(), make.filter()
    make.brew(bag, filters=[paper])
    trial = finished(make)
    log(client, trial, "A", note="poured")
    ((_, brew_id),) = ties(journal, trial)
    with Session(journal.reader) as session, app.test_request_context():
        for of in ({"brew_ids": [brew_id]}, {"bag_id": bag.id}, {"filter_id": paper.id}):
            found = blind_evidence_of(session, NOON, **of)  # type: ignore[arg-type]
            assert [one.test_id for one in found] == [trial.test_id]
        title = session.get_one(BlindTest, trial.test_id).title
    assert title in page.text(client.get(f"/brews/{brew_id}").text)


def test_a_guest_sees_no_brews_and_ties_none(
    app: Flask, client: FlaskClient, make: Make, journal: Database
) -> None:
    open_to_network(app, [MACHINE])
    brew = make.brew(brewed_at=NOON)
    test, _ = rows(make, [])
    own = seat(make, test)
    answered = {"test_id": test.id, "taster_id": own.taster_id, "number": 1, "drawn_at": NOON}
    sealed = {"pouring": "helper", "cups": "ABB", "codes": "417 658 293"}
    trial = make.save(Trial(**answered | sealed | DONE))
    assert CARD in said(client, trial)
    phone = Phone(app)
    phone.pair(new_code(client, own.id))
    answer = phone.ask(f"/blind/trials/{trial.id}")
    assert answer.status_code == 200
    assert "Right answer" in answer.text or "Not this time" in answer.text
    assert CARD not in answer.text
    assert "/brews/" not in answer.text
    sent = {"cup": "A", "brew_id": str(brew.id)}
    for step in ("brews", "brews/same", f"brews/{brew.id}/untie"):
        assert phone.ask(f"/blind/trials/{trial.id}/{step}", "POST", data=sent).status_code == 403
    assert ties(journal, trial) == []


def test_the_card_asks_no_more_often_for_more_brews(
    client: FlaskClient, make: Make, statements: Any
) -> None:
    _, (trial, other) = rows(make, [DONE | {"cups": "AAB"}, DONE], **ONE)
    make.save(TrialBrew(trial_id=trial.id, brew_id=make.brew(brewed_at=NOON).id, cup="A"))
    make.save(TrialBrew(trial_id=other.id, brew_id=make.brew(brewed_at=NOON).id, cup="B"))
    asked = []
    for _ in range(2):
        shown(client, trial)
        with statements() as seen:
            shown(client, trial)
        asked.append(len(seen))
        for _ in range(30):
            make.brew(brewed_at=NOON)
    assert asked[0] == asked[1]
