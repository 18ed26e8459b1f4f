"""Questions: asked, found, answered, fed with evidence, binned."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import timedelta

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.paging import ROWS_A_PAGE
from app.journal.pairs.setup import LABELS
from app.journal.questions import MOST_OF_A_KIND, MOST_OFFERED, questions_of
from app.models import Question, QuestionBrew
from app.sensory.gathered.words import LEVELS
from tests.support import page
from tests.support.asking import USED, ask, blind_test, number, pair, reply, says, tie
from tests.support.clock import NOON
from tests.support.factories import Make

Watch = Callable[[], AbstractContextManager[list[str]]]


def questions(journal: Database) -> list[Question]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(Question).order_by(Question.id)))


# Asking, finding, answering


def test_a_question_is_asked_and_listed_among_the_open_ones(
    client: FlaskClient, journal: Database
) -> None:
    address = ask(client, factor="use of the filter")
    (kept,) = questions(journal)
    assert (kept.text, kept.factors, kept.state) == (USED, ["use of the filter"], "open")
    assert kept.asked_at == NOON
    shown = says(client, address)
    assert "About: use of the filter" in shown
    assert "Strength of the evidence: none" in shown
    listed = says(client, "/questions/")
    assert listed.index("Open") < listed.index(USED)
    assert "nothing gathered yet" in listed


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ({"text": " "}, "Please fill this in."),
        ({"text": "x" * 301}, "Keep this within 300 characters."),
        ({"factor": "moon phase"}, "Please choose from the list."),
    ],
)
def test_a_bad_question_comes_back_as_it_was_typed(
    client: FlaskClient, journal: Database, typed: dict[str, str], message: str
) -> None:
    answer = client.post("/questions/new", data={"text": USED, "factor": "dose"} | typed)
    assert answer.status_code == 422
    assert message in page.text(answer.text)
    assert page.form(answer.text, holding="text")["text"] == [typed.get("text", USED).strip()]
    assert questions(journal) == []


def test_every_setting_can_be_what_a_question_is_about(client: FlaskClient) -> None:
    offered = client.get("/questions/new").text
    assert all(f'value="{label}"' in offered for label in LABELS.values())


def test_an_answer_is_written_under_the_evidence_and_the_question_moves_down_the_list(
    client: FlaskClient, journal: Database
) -> None:
    address, other = ask(client), ask(client, "Jug or tap?")
    reply(client, address, "No.\nNot to us.")
    kept = questions(journal)[0]
    assert (kept.answer, kept.state, kept.answered_at) == ("No.\nNot to us.", "answered", NOON)
    html = client.get(address).text
    assert "<p>No.</p><p>Not to us.</p>" in html
    listed = says(client, "/questions/")
    places = [listed.index(text) for text in ("Open", "Jug or tap?", "Answered", USED)]
    assert places == sorted(places)
    assert other != address


def test_an_answer_can_stay_open_and_a_question_can_be_opened_again(
    client: FlaskClient, journal: Database, freeze: Callable[[str], None]
) -> None:
    address = ask(client)
    for answer, state in (("Perhaps not.", "open"), ("No.", "answered"), ("No!", "answered")):
        reply(client, address, answer, state)
        freeze("2026-09-20T08:00")
    assert questions(journal)[0].answered_at == NOON.replace(day=20, hour=8)
    freeze("2026-09-21T08:00")
    reply(client, address, "", "open")
    (kept,) = questions(journal)
    assert (kept.state, kept.answer, kept.answered_at) == ("open", "", None)


@pytest.mark.parametrize(
    ("sent", "message"),
    [
        ({"answer": "  ", "state": "answered"}, "Write the answer first, or leave"),
        ({"answer": "x" * 4001, "state": "open"}, "Keep this within 4000 characters."),
        ({"answer": "No.", "state": "settled"}, "Please choose one from the list."),
        ({"answer": "No."}, "Please choose one from the list."),
    ],
)
def test_an_answer_that_cannot_stand_is_refused_beside_the_field(
    client: FlaskClient, journal: Database, sent: dict[str, str], message: str
) -> None:
    address = ask(client)
    answer = client.post(f"{address}/answer", data=sent)
    assert answer.status_code == 422
    assert message in page.text(answer.text)
    assert page.form(answer.text, holding="answer")["answer"] == [sent["answer"].strip()]
    assert questions(journal)[0].answer == ""


def test_text_and_factor_can_be_changed(client: FlaskClient, journal: Database) -> None:
    address = ask(client)
    values = page.filled(
        client.get(f"{address}/edit").text, holding="text", text="Is it the steep?", factor="steep"
    )
    assert client.post(f"{address}/edit", data=values).location == address
    assert client.post(f"{address}/edit", data={"text": ""}).status_code == 422
    (kept,) = questions(journal)
    assert (kept.text, kept.factors) == ("Is it the steep?", ["steep"])


def test_words_are_searched_in_text_factor_and_answer_whatever_their_case_and_accents(
    client: FlaskClient,
) -> None:
    address = ask(client, "Is Café water fine?", "kettle water")
    ask(client, "Longer steep?", "steep")
    reply(client, address, "ÄUSSERST")
    for words in ("cafe", "KETTLE fine", "äusserst"):
        found = says(client, f"/questions/?q={words}")
        assert "Is Café water fine?" in found
        assert "Longer steep?" not in found
    assert "No question fits" in says(client, "/questions/?q=nowhere")


def test_many_answered_questions_come_a_page_at_a_time(client: FlaskClient, make: Make) -> None:
    for n in range(ROWS_A_PAGE + 3):
        at = NOON - timedelta(days=n)
        make.save(
            Question(
                text=f"Old one {n}?", asked_at=at, state="answered", answer="Yes.", answered_at=at
            )
        )
    ask(client)
    first = client.get("/questions/").text
    older = first.partition('rel="next" href="')[2].partition('"')[0]
    second = says(client, older.replace("&amp;", "&"))
    assert f"Old one {ROWS_A_PAGE + 2}?" in second
    assert "Old one 0?" not in second
    assert USED not in second


# Putting things under a question and taking them off


def test_the_page_offers_what_is_not_there_yet(client: FlaskClient, make: Make) -> None:
    saved, test = pair(make, "b", steep_s=180), blind_test(make, "r")
    address = ask(client)
    assert f'href="{address}/add">Add evidence' in client.get(address).text
    for kind, row in (("blind_test", test), ("side_by_side", saved)):
        html = client.get(f"{address}/add").text
        assert f'id="add-{kind}"' in html
        tie(client, address, kind, row)
        assert f'id="add-{kind}"' not in client.get(f"{address}/add").text
    brews = (
        client.get(f"{address}/add").text.partition('id="add-brew"')[2].partition("</select>")[0]
    )
    assert brews.count("<option") == 2


def to_blind(client: FlaskClient, address: str) -> str:
    """Where the button "Test it blind" leads."""
    found = re.search(r'href="(/blind/new[^"]*)">Test it blind', client.get(address).text)
    assert found
    return found[1].replace("&amp;", "&")


def test_a_question_leads_to_a_blind_test_of_its_latest_fair_pair(
    client: FlaskClient, make: Make
) -> None:
    address = ask(client, factor="steep")
    its = f"question_id={number(address)}"
    assert to_blind(client, address) == f"/blind/new?{its}"
    for brew in (one := make.brew(steep_s=150), other := make.brew(steep_s=210)):
        tie(client, address, "brew", brew)
    assert to_blind(client, address).endswith(f"?{its}&a_brew_id={one.id}&b_brew_id={other.id}")
    fair, unfair = pair(make, "b", steep_s=180), pair(make, "a", steep_s=180, dose_g=18.5)
    tie(client, address, "side_by_side", unfair)
    two = f"a_brew_id={unfair.brew_a_id}&b_brew_id={unfair.brew_b_id}"
    assert to_blind(client, address).endswith(two)
    tie(client, address, "side_by_side", fair)
    two = f"a_brew_id={fair.brew_a_id}&b_brew_id={fair.brew_b_id}"
    assert to_blind(client, address).endswith(two)
    client.post(f"{address}/bin")
    assert "Test it blind" not in client.get(address).text


def test_the_forms_of_the_page_work_as_they_stand(client: FlaskClient, make: Make) -> None:
    saved = pair(make, "b", steep_s=180)
    address = ask(client, factor="steep")
    html = client.get(f"{address}/add").text
    sent = next(v for _, v in page.read(html).forms if v.get("kind") == ["side_by_side"])
    assert client.post("/questions/tie", data=sent).location == address
    html = client.get(address).text
    off = next(v for a, v in page.read(html).forms if a.get("action", "").endswith("/untie"))
    answer = client.post(f"{address}/untie", data=off | {"row_id": [str(saved.id)]})
    assert answer.location == address
    assert "Steep: Cup A" not in says(client, address)


def test_the_same_thing_is_put_there_once(client: FlaskClient, make: Make) -> None:
    brew, address = make.brew(), ask(client)
    for _ in range(2):
        tie(client, address, "brew", brew)
    assert "1 brew" in says(client, "/questions/")


def test_one_goes_back_to_where_one_came_from(client: FlaskClient, make: Make) -> None:
    saved, test = pair(make, "b", steep_s=180), blind_test(make)
    address = ask(client)
    places = {
        "brew": (make.brew(), "/brews/3"),
        "side_by_side": (saved, f"/side-by-side/{saved.brew_a_id}/{saved.brew_b_id}"),
        "blind_test": (test, f"/blind/{test.id}"),
    }
    for kind, (row, place) in places.items():
        assert tie(client, address, kind, row, back="").location == place
        sent = {"kind": kind, "row_id": row.id}
        assert client.post(f"{address}/untie", data=sent).location == place


@pytest.mark.parametrize(
    "sent",
    [
        {},
        {"kind": "brew"},
        {"kind": "bag", "row_id": "1"},
        {"question_id": "1", "kind": "brew", "row_id": "x"},
        {"question_id": "0", "kind": "brew", "row_id": "1"},
        {"question_id": "99999999999", "kind": "side_by_side", "row_id": "7"},
    ],
)
def test_a_choice_that_is_none_says_so(
    client: FlaskClient, make: Make, sent: dict[str, str]
) -> None:
    make.brew()
    answer = client.post("/questions/tie", data=sent, follow_redirects=True)
    assert answer.status_code == 200
    assert "Please choose one from the list." in page.text(answer.text)


@pytest.mark.parametrize("missing", ["question_id", "row_id"])
def test_what_is_not_there_cannot_be_tied(client: FlaskClient, make: Make, missing: str) -> None:
    sent = {"question_id": number(ask(client)), "kind": "brew", "row_id": make.brew().id}
    assert client.post("/questions/tie", data=sent | {missing: 4321}).status_code == 404


def test_a_question_holds_so_many_of_a_kind_and_no_more(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    address = ask(client)
    asked = number(address)
    ids = [make.brew().id for _ in range(MOST_OF_A_KIND)]
    with Session(journal.writer) as session, session.begin():
        session.add_all(QuestionBrew(question_id=asked, brew_id=brew_id) for brew_id in ids)
    sent = {
        "question_id": number(address),
        "kind": "brew",
        "row_id": make.brew().id,
        "back": "question",
    }
    answer = client.post("/questions/tie", data=sent, follow_redirects=True)
    assert "at most 200 of a kind" in page.text(answer.text)


def test_a_question_asked_from_a_brew_has_it_from_the_start(
    client: FlaskClient, make: Make
) -> None:
    brew = make.brew()
    make.tasting(brew)
    address = ask(client, kind="brew", row_id=str(brew.id))
    assert "1 scored brew." in says(client, address)
    assert "Strength of the evidence: none" in says(client, ask(client, kind="brew", row_id="999"))


def test_a_thing_knows_its_questions_and_the_open_ones(
    app: Flask, client: FlaskClient, make: Make, journal: Database, statements: Watch
) -> None:
    brew = make.brew()
    under, other, done = ask(client, "Under?"), ask(client, "Other?"), ask(client, "Done?")
    reply(client, done, "Yes.")
    tie(client, under, "brew", brew)
    with statements() as seen, Session(journal.reader) as session:
        asked = questions_of(session, "brew", brew.id)
    assert len(seen) == 1
    assert [row.text for row in asked.under] == ["Under?"]
    assert [row.text for row in asked.others] == ["Other?"]
    html = app.jinja_env.get_template("questions/_attach.html")
    with app.test_request_context():
        shown = html.render(asked=asked)
    forms = page.read(shown).forms
    assert [a["action"] for a, _ in forms] == [f"{under}/untie", "/questions/tie"]
    assert client.post("/questions/tie", data=forms[1][1]).location == f"/brews/{brew.id}"
    assert "1 brew" in says(client, "/questions/?q=other")
    assert other


def test_the_offer_of_open_questions_has_an_end(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    brew = make.brew()
    for n in range(MOST_OFFERED + 5):
        make.save(Question(text=f"Open one {n}?", asked_at=NOON))
    with Session(journal.reader) as session:
        assert len(questions_of(session, "brew", brew.id).others) == MOST_OFFERED


# The bin


def test_a_question_goes_to_the_bin_and_comes_back(client: FlaskClient) -> None:
    address = ask(client)
    assert client.post(f"{address}/bin").location == address
    assert USED not in says(client, "/questions/")
    assert USED in says(client, "/bin")
    assert "in the bin" in says(client, address)
    client.post(f"{address}/restore")
    assert USED in says(client, "/questions/")
    assert USED not in says(client, "/bin")


# The rule


def test_the_rule_has_a_page_of_its_own_that_names_every_level(client: FlaskClient) -> None:
    text = says(client, "/questions/rule").casefold()
    for level, when in LEVELS:
        assert level in text
        assert when.casefold() in text
    assert 'href="/questions/rule"' in client.get("/questions/").text


def test_a_question_binned_while_its_answer_is_written_says_so(
    client: FlaskClient, journal: Database
) -> None:
    """C2: and what was written is on the page that says it."""
    address = ask(client)
    sent = page.filled(client.get(address).text, holding="answer", answer="Yes.", state="answered")
    client.post(f"{address}/bin")
    told = client.post(f"{address}/answer", data=sent)
    assert told.status_code == 409
    assert "put in the bin" in page.text(told.text)
    assert "Yes." in page.text(told.text)
    assert questions(journal)[0].answer == ""
    saved = client.post(f"{address}/answer", data=page.form(told.text, holding="seen"))
    assert saved.location == address
    assert questions(journal)[0].answer == "Yes."
    assert client.get(f"{address}/answer").location == address


def test_an_old_untying_that_arrives_late_takes_nothing_off_that_was_put_there_since(
    client: FlaskClient, make: Make
) -> None:
    """C9"""
    brew, address = make.brew(), ask(client)
    tie(client, address, "brew", brew)
    html = client.get(address).text
    off = next(v for a, v in page.read(html).forms if a.get("action", "").endswith("/untie"))
    for _ in range(2):
        client.post(f"{address}/untie", data=off | {"row_id": [str(brew.id)]})
        tie(client, address, "brew", brew)
    assert "1 brew" in says(client, "/questions/")
