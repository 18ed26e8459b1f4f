"""Asks: how often a question was asked, in whose words, and what stands aside."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import date

from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.asks.reading import asked_questions
from app.journal.gathered.strength import strengths
from app.models import Ask, Question, Sitting
from tests.support import page
from tests.support.asking import ask, blind_test, number, pair, reply, says, tie
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.sitting import STIR, a_pair

Watch = Callable[[], AbstractContextManager[list[str]]]


def asks(journal: Database) -> list[Ask]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(Ask).order_by(Ask.id)))


def noted(make: Make, text: str, question: str = "", **more: object) -> Ask:
    at = {"asked_on": NOON.date(), "noted_at": NOON, **more}
    return make.save(Ask(text=text, question_id=number(question) if question else None, **at))


def test_a_question_was_asked_once_by_asking_it_and_once_more_is_one_tap(
    client: FlaskClient, journal: Database
) -> None:
    address = ask(client)
    assert "asked 1 time," in says(client, address)
    done = client.post(f"{address}/again")
    assert done.status_code == 303
    assert "asked 2 times," in says(client, address)
    first, second = asks(journal)
    assert (first.text, second.text, second.question_id) == (
        "Does a paper used three times taste different?", "", number(address),
    )  # fmt: skip
    with Session(journal.reader) as session:
        (row,) = asked_questions(session)
    assert (row.times, row.factors, row.last_on) == (2, [], date(2026, 9, 15))


def test_setting_aside_and_back_is_one_tap_each_and_an_answer_is_not_lost(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    address = ask(client)
    for deed, state in (("aside", "set aside"), ("reopen", "open")):
        assert client.post(f"{address}/{deed}").status_code == 303
        with Session(journal.reader) as session:
            assert session.get_one(Question, number(address)).state == state
    make.save(
        Question(text="Done?", asked_at=NOON, state="answered", answer="Yes", answered_at=NOON)
    )
    assert client.post("/questions/2/aside", follow_redirects=True).status_code == 200
    with Session(journal.reader) as session:
        assert session.get_one(Question, 2).state == "answered"


def test_an_ask_is_changed_on_its_own_page_and_its_history_brings_it_back(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    address = ask(client)
    kept = noted(make, "Is it the papper?", source="A letter")
    page_of = f"/questions/asks/{kept.id}"
    typed = page.filled(
        client.get(page_of).text, holding="asked_on", text="Is it the paper?",
        question_id=str(number(address)),
    )  # fmt: skip
    assert client.post(page_of, data=typed).status_code == 303
    assert (asks(journal)[1].text, asks(journal)[1].question_id) == ("Is it the paper?", 1)
    before = page.form(client.get(f"{page_of}?before_change=1").text, holding="asked_on")
    assert (before["text"], before["question_id"]) == (["Is it the papper?"], [""])


def test_what_differs_in_several_things_is_fair_if_the_question_names_them_all(
    client: FlaskClient, make: Make
) -> None:
    both = ask(client, "Longer and hotter?", factor=["steep", "water temperature"])
    saved = pair(make, "b", steep_s=180, water_temp_c=96.0)
    tie(client, both, "side_by_side", saved)
    told = client.get(f"{both}/export.json").get_json()
    (compared,) = told["side_by_sides"]
    assert compared["comparison"] == "fair"
    assert "cannot be told apart" in compared["says"]
    assert "In some side by sides steep and water temperature differed at once" in says(
        client, both
    ).replace("water temperature and steep", "steep and water temperature")
    one = ask(client, "Longer?", factor="steep")
    tie(client, one, "side_by_side", saved)
    (compared,) = client.get(f"{one}/export.json").get_json()["side_by_sides"]
    assert compared["comparison"] == "not fair"


def test_a_pair_that_differs_in_one_of_the_things_asked_about_is_fair(
    client: FlaskClient, make: Make
) -> None:
    address = ask(client, "Papers?", factor=["filter", "use of the filter"])
    one, two = [make.filter(), make.filter()], [make.filter(), make.filter()]
    of_pairs = (
        make.side_by_side(make.brew(filters=one[:1]), make.brew(filters=two), preference="b"),
        make.side_by_side(
            make.brew(filters=[make.filter()]), make.brew(filters=[make.filter(prior_uses=4)])
        ),
        make.side_by_side(
            make.brew(filters=[make.filter()]),
            make.brew(filters=[make.filter(prior_uses=4), make.filter(prior_uses=4)]),
        ),
        pair(make, "b", steep_s=180),
    )  # fmt: skip
    for saved in of_pairs:
        tie(client, address, "side_by_side", saved)
    told = client.get(f"{address}/export.json").get_json()["side_by_sides"]
    assert [[one["what"] for one in each["differs"]] for each in told] == [
        ["filter"], ["use of the filter"], ["filter", "use of the filter"], ["steep"],
    ]  # fmt: skip
    assert [each["comparison"] for each in told] == ["fair", "fair", "fair", "another thing"]
    assert ["told apart" in each["says"] for each in told] == [False, False, True, False]


def test_groups_of_two_things_say_which_cannot_be_told_apart(
    client: FlaskClient, make: Make
) -> None:
    address = ask(client, "Longer and hotter?", factor=["steep", "water temperature"])
    for steep, heat in ((120, 92.0), (120, 92.0), (180, 96.0)):
        tie(client, address, "brew", make.brew(steep_s=steep, water_temp_c=heat))
    groups = client.get(f"{address}/export.json").get_json()["brews_in_groups"]
    assert [(row["value"], row["brews"]) for row in groups["groups"]] == [
        ("92 °C; 2:00", 2), ("96 °C; 3:00", 1),
    ]  # fmt: skip
    assert groups["not_told_apart"] == ["water temperature", "steep"]
    tie(client, address, "brew", make.brew(steep_s=180, water_temp_c=92.0))
    tie(client, address, "brew", make.brew(steep_s=120, water_temp_c=96.0))
    groups = client.get(f"{address}/export.json").get_json()["brews_in_groups"]
    assert (len(groups["groups"]), groups["not_told_apart"]) == (4, [])


# The list


def levels(client: FlaskClient, query: str = "") -> list[str]:
    """The questions of the list in their order."""
    html = client.get(f"/questions/{query}").text.partition("How strong is the evidence?")[0]
    return re.findall(r"<strong><a[^>]*>([^<]*)</a>", html)


def test_the_list_is_sorted_by_how_often_asked_by_evidence_and_by_state(
    client: FlaskClient, make: Make
) -> None:
    rare, often, answered = ask(client, "Rare?"), ask(client, "Often?"), ask(client, "Answered?")
    aside = ask(client, "Aside?")
    client.post(f"{aside}/aside")
    for address, times in ((often, 3), (answered, 5), (aside, 1)):
        for _ in range(times):
            client.post(f"{address}/again")
    reply(client, answered, "Yes.")
    tie(client, rare, "side_by_side", pair(make, "b", steep_s=180))
    assert levels(client) == ["Often?", "Rare?", "Answered?", "Aside?"]
    assert levels(client, "?sort=often") == ["Answered?", "Often?", "Aside?", "Rare?"]
    assert levels(client, "?sort=evidence") == ["Rare?", "Answered?", "Often?", "Aside?"]
    assert levels(client, "?sort=newest") == ["Aside?", "Answered?", "Often?", "Rare?"]
    assert levels(client, "?state=set+aside") == ["Aside?"]
    assert levels(client, "?state=answered&sort=often") == ["Answered?"]
    shown = says(client, "/questions/")
    assert "asked 4 times · nothing gathered yet" in shown.replace("\xa0", " ")
    assert "anecdote" in shown


def test_papers_in_all_their_forms_meet_in_the_list(client: FlaskClient, make: Make) -> None:
    for text, factor in (
        ("Two filters or one?", "filter"), ("Metal?", "filter"), ("Again?", "use of the filter"),
        ("Hotter?", "water temperature"),
    ):  # fmt: skip
        ask(client, text, factor=factor)
    noted(make, "Is a used paper worse?", "/questions/3")
    papers = ["Again?", "Metal?", "Two filters or one?"]
    assert levels(client, "?about=papers+and+filters") == papers
    assert levels(client, "?q=filter") == papers
    assert levels(client, "?q=sheets") == ["Again?", "Two filters or one?"]


def test_once_more_in_the_list_keeps_how_it_is_sorted_and_is_taken_back(
    client: FlaskClient, journal: Database
) -> None:
    address = ask(client)
    html = client.get("/questions/?sort=often&q=paper").text
    sent = page.form(html, holding="back")
    done = client.post(f"{address}/again", data=sent)
    assert done.location == "/questions/?q=paper&sort=often&once=2"
    undo = [given.get("action", "") for given, _ in page.read(client.get(done.location).text).forms]
    assert client.post(next(to for to in undo if to.endswith("/2/bin"))).status_code == 303
    assert "asked 1 time," in says(client, address)
    assert "Asked once more." not in says(client, done.location)


def test_every_question_of_the_list_has_the_strength_of_its_page(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    steep = ask(client, "Longer?", factor="steep")
    for n in range(4):
        tie(client, steep, "side_by_side", pair(make, "b", steep_s=180 + n))
    shown = ask(client, "Fresh?")
    tie(client, shown, "blind_test", blind_test(make, "r" * 8, ended="shown", stopped_at=NOON))
    scored = ask(client, "Scored?")
    brew = make.brew()
    make.tasting(brew, liking=7)
    tie(client, scored, "brew", brew)
    ask(client, "Nothing?")
    both = ask(client, "Both?", factor=["steep", "dose"])
    tie(client, both, "side_by_side", pair(make, "a", steep_s=180, dose_g=16.0))
    with Session(journal.reader) as session:
        listed = strengths(session, NOON)
    of_pages = {
        n: client.get(f"/questions/{n}/export.json").get_json()["strength"]["level"]
        for n in listed
    }  # fmt: skip
    assert dict(listed) == of_pages
    assert list(of_pages.values()) == ["hint", "shown", "anecdote", "none", "anecdote"]


def test_the_list_asks_as_often_with_many_questions_as_with_few(
    client: FlaskClient, make: Make, statements: Watch
) -> None:
    counts = []
    for many in (1, 9):
        for n in range(many):
            address = ask(client, f"{n}?", factor="steep")
            tie(client, address, "side_by_side", pair(make, "b", steep_s=180))
            tie(client, address, "blind_test", blind_test(make, "rw", title=f"{many} {n}"))
            noted(make, "Longer?", address)
        with statements() as seen:
            client.get("/questions/?q=longer")
        counts.append(len(seen))
    assert counts[0] == counts[1] <= 24


def test_a_question_in_a_sitting_under_way_is_planned_until_it_is_over(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    sitting_id, question_id = a_pair(journal, make)
    ask(client, "Another?")
    assert levels(client, "?state=planned") == [STIR]
    assert levels(client, "?state=open") == ["Another?"]
    with journal.writing() as session:
        session.get_one(Sitting, sitting_id).ended_at = NOON
    assert levels(client, "?state=planned") == []
    assert question_id
    assert levels(client, "?state=open") == ["Another?", STIR]
