"""Planning a sitting on its page: what is proposed, what is missing, and what is saved."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.brewing.sitting.wanted import FilterWanted
from app.database import Database
from app.journal.pairs.setup import LABELS
from app.journal.sittings.reading import asked_of, lines_of
from app.models import BlindTest, Question, QuestionBlindTest, Sitting
from tests.support import page
from tests.support.asking import ask, blind_test, number, pair, says, tie
from tests.support.clock import NOON
from tests.support.factories import Make

STIRS = "Does the stir matter?"
FELT = LABELS["press_effort"]
USED = "Is a used paper as good?"


def shown(client: FlaskClient, *ids: int) -> str:
    return str(client.get("/sittings/new", query_string={"q": ids}).text)


def text_of(client: FlaskClient, *ids: int) -> str:
    return page.text(shown(client, *ids)).replace("\xa0", " ")


def save(client: FlaskClient, *ids: int, **typed: Any) -> Any:
    """Press the button that saves, with these fields typed over."""
    values = page.filled(shown(client, *ids), holding="q", **typed)
    return client.post("/sittings/new", data=values)


def saved(journal: Database) -> list[Sitting]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(Sitting)))


def stirred(client: FlaskClient, make: Make, text: str = STIRS, stirs: int = 5, **a: Any) -> int:
    """A question with a saved side by side in which the stirs differ; its number."""
    asked = ask(client, text, factor="stirs")
    tie(client, asked, "side_by_side", pair(make, "a", stirs=stirs, **a))
    return number(asked)


# The way there


def test_lists_and_an_open_question_lead_to_the_plan(client: FlaskClient, make: Make) -> None:
    question = stirred(client, make)
    for address in ("/questions/", "/sittings/"):
        assert 'href="/sittings/new"' in client.get(address).text
    assert f'href="/sittings/new?q={question}"' in client.get(f"/questions/{question}").text
    save(client, question)
    # While it is planned its page leads to the sheet instead.
    assert "/sittings/new" not in client.get(f"/questions/{question}").text


def test_the_list_to_choose_from_says_how_often_asked_how_strong_and_what_is_planned(
    client: FlaskClient, make: Make
) -> None:
    asked = ask(client, "Longer?", factor="steep")
    assert "Longer? asked 1 time · evidence: none · steep" in says(client, "/sittings/new")
    tie(client, asked, "side_by_side", pair(make, "b", steep_s=240))
    assert "Longer? asked 1 time · evidence: anecdote · steep" in says(client, "/sittings/new")
    save(client, number(asked))
    assert "in a sitting already" in says(client, "/sittings/new")


# Nothing yet


def test_without_a_question_the_page_says_to_ask_one(client: FlaskClient) -> None:
    said = says(client, "/sittings/new")
    assert "No open question" in said
    assert "Make the plan" not in said


def test_without_a_brew_the_question_says_what_is_missing_and_nothing_is_saved(
    client: FlaskClient, journal: Database
) -> None:
    question = number(ask(client, STIRS, factor="stirs"))
    assert "There is no brew yet that a cup could be like: log one first." in text_of(
        client, question
    )
    answer = client.post("/sittings/new", data={"q": question})
    assert answer.status_code == 422
    assert "log one first" in page.text(answer.text)
    assert saved(journal) == []


def test_with_one_brew_both_cups_start_from_it_and_one_thing_is_to_be_said(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    brew = make.brew(stirs=2, steep_s=140)
    question = number(ask(client, STIRS, factor="stirs"))
    said = text_of(client, question)
    assert "both cups start from the last brew" in said
    assert f"What is different in one of the cups of “{STIRS}” is not said yet." in said
    refused = save(client, question)
    assert refused.status_code == 422
    assert "A and B are the same so far" in page.text(refused.text)
    assert saved(journal) == []
    answer = save(client, question, **{f"q{question}-b-stirs": "9"})
    assert answer.status_code == 303
    with Session(journal.reader) as session:
        (asked,) = asked_of(session, saved(journal)[0].id)
    assert {letter: cup.like_id for letter, cup in asked.cups.items()} == {
        "A": brew.id, "B": brew.id,
    }  # fmt: skip
    assert asked.cups["A"].changes == {}
    assert asked.cups["B"].changes == {"stirs": 9}
    assert asked.pair


def test_what_is_changed_is_worked_in_before_it_is_saved(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    make.brew(dose_g=13.5, steep_s=140)
    question = number(ask(client, "Does more coffee help?", factor="dose"))
    values = page.filled(
        shown(client, question), holding="q", **{f"q{question}-b-dose_g": "19.5", "again": "1"}
    )
    answer = client.post("/sittings/new", data=values)
    said = page.text(answer.text).replace("\xa0", " ")
    assert "33 g of Morning Hill" in said
    assert "not said yet" not in said
    assert saved(journal) == []


def test_a_factor_that_no_brew_notes_is_made_by_hand(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    make.brew(steep_s=140)
    question = number(ask(client, "Does a warmed mug help?"))
    assert "The question does not say yet what is different" in text_of(client, question)
    assert save(client, question).status_code == 303
    assert len(saved(journal)) == 1


def test_what_shows_only_while_brewing_is_no_field_of_the_plan(
    client: FlaskClient, make: Make
) -> None:
    make.brew(steep_s=140)
    question = number(ask(client, "Is it hard to press?", factor=FELT))
    said = text_of(client, question)
    assert f"What it is about cannot be set here ({FELT})" in said
    assert "not said yet" not in said


@pytest.mark.parametrize("factor", [label for label in LABELS.values() if label != FELT])
def test_whatever_a_question_is_about_can_be_set_for_both_cups(
    client: FlaskClient, make: Make, factor: str
) -> None:
    paper = make.filter(make.pack())
    recipe = make.recipe()
    grinder, water = make.grinder(), make.water()
    make.brew(
        recipe=recipe, filters=[paper], grinder_id=grinder.id, water_id=water.id,
        press_s=28, steep_s=130, stirs=2, water_temp_c=91.0,
    )  # fmt: skip
    question = number(ask(client, "Is it worth it?", factor=factor))
    opened = page.form(shown(client, question), holding="q")
    own = {name for name in opened if name.startswith((f"q{question}-a-", f"q{question}-b-"))}
    assert len(own) == 2
    answer = client.post("/sittings/new", data=opened)
    assert answer.status_code == 422
    assert "A and B are the same so far" in page.text(answer.text)


def test_a_question_about_several_things_is_set_in_all_of_them(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    brew = make.brew(steep_s=130, stirs=2)
    question = number(ask(client, "Longer and unstirred?", factor=["steep", "stirs"]))
    typed = {f"q{question}-b-steep_s": "3:20", f"q{question}-b-stirs": "0"}
    assert save(client, question, **typed).status_code == 303
    with Session(journal.reader) as session:
        (asked,) = asked_of(session, saved(journal)[0].id)
    assert asked.cups["B"].like_id == brew.id
    assert asked.cups["B"].changes == {"steep_s": 200, "stirs": 0}


def test_another_filter_is_taken_fresh_where_it_is_of_paper(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    metal = make.pack(name="Metal round", material="metal", count=1)
    paper = make.pack(name="Paper round", count=20)
    make.brew(filters=[make.filter(metal)], steep_s=130)
    question = number(ask(client, "Metal or paper?", factor="filter"))
    assert save(client, question, **{f"q{question}-b-pack_id": str(paper.id)}).status_code == 303
    with Session(journal.reader) as session:
        (asked,) = asked_of(session, saved(journal)[0].id)
    stacks = {letter: list(cup.filters) for letter, cup in asked.cups.items()}
    assert stacks == {"A": [FilterWanted(metal.id)], "B": [FilterWanted(paper.id, 1)]}


# What the journal holds


def test_two_questions_with_side_by_sides_are_saved_as_they_are_proposed(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    first = stirred(client, make, dose_g=17.5)
    then = stirred(client, make, "And a single stir?", stirs=1)
    opened = text_of(client, first, then)
    assert "2 side by sides · 4 brews · about" in opened
    answer = save(client, first, then)
    (sitting,) = saved(journal)
    assert answer.location.endswith(f"/sittings/{sitting.id}")
    with Session(journal.reader) as session:
        asked = asked_of(session, sitting.id)
        lines = lines_of(session, sitting.id)
    assert [(one.question_id, one.pair, one.trials) for one in asked] == [
        (first, True, 0), (then, True, 0),
    ]  # fmt: skip
    assert [line.kind for line in lines].count("taste") == 2
    # One brewer, so one brew after the other.
    assert [line.kind for line in lines].count("brew") == 4
    assert client.get(answer.location).status_code == 200


def test_only_what_differs_by_somebodys_will_is_kept_apart(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    asked_at = ask(client, STIRS, factor="stirs")
    a = make.brew(stirs=1, press_s=27, steep_s=120, water_temp_c=92.0)
    b = make.brew(stirs=8, press_s=31, steep_s=122, press_effort=4, water_temp_c=92.0)
    tie(client, asked_at, "side_by_side", make.side_by_side(a, b))
    assert save(client, number(asked_at)).status_code == 303
    with Session(journal.reader) as session:
        (asked,) = asked_of(session, saved(journal)[0].id)
    assert asked.cups["A"].changes == {}
    changes = asked.cups["B"].changes
    assert (changes["press_s"], changes["steep_s"], changes["press_effort"]) == (27, 120, None)
    assert "stirs" not in changes


def test_a_blind_test_that_goes_on_gets_one_trial_and_no_more_than_two_are_proposed(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    ids = [stirred(client, make, f"{STIRS} {n}") for n in range(3)]
    taster = make.taster()
    for question in ids:
        test = blind_test(make, taster=taster, title=f"Stirred {question}")
        make.save(QuestionBlindTest(question_id=question, test_id=test.id, tied_at=NOON))
    assert "1 side by side · 2 blind trials" in text_of(client, *ids)
    assert save(client, *ids).status_code == 303
    with Session(journal.reader) as session:
        asked = asked_of(session, saved(journal)[0].id)
    assert [(one.pair, one.trials, bool(one.test_id)) for one in asked] == [
        (False, 1, True), (False, 1, True), (True, 0, False),
    ]  # fmt: skip


def test_a_test_that_ended_or_whose_cups_are_cold_is_not_proposed(
    client: FlaskClient, make: Make
) -> None:
    question = stirred(client, make)
    over = blind_test(make, title="Ended test", ended="stopped", stopped_at=NOON)
    cold = blind_test(
        make, "r", make.taster(name="Otter"), title="Cups of that day", claim="these cups",
        brewing="one pair",
    )  # fmt: skip
    for test in (over, cold):
        make.save(QuestionBlindTest(question_id=question, test_id=test.id, tied_at=NOON))
    said = text_of(client, question)
    assert "Cups of that day" in said  # answered at noon, and it is noon
    client.application.config["CLOCK"] = lambda: NOON.replace(hour=23)
    said = text_of(client, question)
    assert "Cups of that day" not in said
    assert "Ended test" not in said


def test_the_cups_of_a_blind_test_come_before_those_of_a_side_by_side(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    question = stirred(client, make)
    pack = make.pack(count=30)
    paper = make.filter(pack)
    revision = make.recipe("Long steep", dose_g=12.5, steep_s=400).revisions[0]
    test = blind_test(make, title="By recipe", a_filter_id=paper.id, a_filter_use=3)
    test = make.save(_pointed(test, revision.id))
    make.save(QuestionBlindTest(question_id=question, test_id=test.id, tied_at=NOON))
    assert "The cups are those of its blind test." in text_of(client, question)
    assert save(client, question).status_code == 303
    with Session(journal.reader) as session:
        (asked,) = asked_of(session, saved(journal)[0].id)
    assert [(one.pack_id, one.use) for one in asked.cups["A"].filters] == [(pack.id, 3)]
    assert asked.cups["B"].changes["revision_id"] == revision.id
    assert asked.cups["B"].changes["dose_g"] == 12.5


def _pointed(test: BlindTest, revision_id: int) -> BlindTest:
    test.b_revision_id = revision_id
    return test


def test_a_finished_bag_gives_way_to_the_one_in_use(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    old = make.bag(finished_on=NOON.date())
    question = number(asked := ask(client, STIRS, factor="stirs"))
    brews = [make.brew(old, stirs=stirs, steep_s=120) for stirs in (1, 6)]
    tie(client, asked, "side_by_side", make.side_by_side(*brews))
    said = text_of(client, question)
    assert "this bag is finished: choose another" in said
    other = make.brew(make.bag(make.bean(name="Harbour Light", roaster="")), steep_s=120)
    assert "28 g of Harbour Light" in text_of(client, question)
    save(client, question)
    with Session(journal.reader) as session:
        (asked_for,) = asked_of(session, saved(journal)[0].id)
    assert {cup.changes["bag_id"] for cup in asked_for.cups.values()} == {other.bag_id}


def test_one_bag_is_taken_for_all_cups_but_those_of_a_question_about_bags(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    small, large = make.bag(net_g=30.0), make.bag(make.bean(name="Harbour Light"), net_g=400.0)
    first = number(asked := ask(client, STIRS, factor="stirs"))
    tie(client, asked, "side_by_side", make.side_by_side(
        make.brew(small, stirs=1, steep_s=120), make.brew(small, stirs=6, steep_s=120)
    ))  # fmt: skip
    then = number(asked := ask(client, "Which beans?", factor="bag"))
    tie(client, asked, "side_by_side", make.side_by_side(
        make.brew(small, steep_s=120), make.brew(large, steep_s=120)
    ))  # fmt: skip
    assert "left" in text_of(client, first, then)
    assert save(client, first, then, bag_id=str(large.id)).status_code == 303
    with Session(journal.reader) as session:
        about_stirs, about_bags = asked_of(session, saved(journal)[0].id)
    assert {cup.changes.get("bag_id") for cup in about_stirs.cups.values()} == {large.id}
    assert {cup.changes.get("bag_id") for cup in about_bags.cups.values()} == {None}
    refused = save(client, first, bag_id="9999")
    assert refused.status_code == 422
    assert "Please choose one from the list." in page.text(refused.text)


def test_an_empty_pack_gives_way_to_the_one_last_used_in_such_a_brewer(
    client: FlaskClient, make: Make
) -> None:
    empty = make.pack(name="Old papers", count=2)
    used = [make.filter(empty) for _ in "AB"]
    asked = ask(client, STIRS, factor="stirs")
    brews = [
        make.brew(filters=[paper], stirs=stirs) for paper, stirs in zip(used, (1, 6), strict=True)
    ]
    tie(client, asked, "side_by_side", make.side_by_side(*brews))
    assert "2 × Old papers, fresh: none is left that can get there" in text_of(
        client, number(asked)
    )
    make.brew(filters=[make.filter(make.pack(name="New papers", count=50))])
    assert "2 × New papers, fresh" in text_of(client, number(asked))


def test_a_question_about_uses_wants_each_paper_at_its_use(client: FlaskClient, make: Make) -> None:
    pack = make.pack(count=40)
    worn, fresh = make.filter(pack, prior_uses=6), make.filter(pack)
    asked = ask(client, USED, factor="use of the filter")
    a, b = make.brew(filters=[fresh]), make.brew(filters=[worn])
    tie(client, asked, "side_by_side", make.side_by_side(a, b))
    said = text_of(client, number(asked))
    assert "White round, fresh" in said
    # It was used for the seventh time in that brew, so it is past it; the other had one use.
    assert f"White round, 7th use: White round no. {fresh.number} is nearest and needs 5" in said


def test_two_alike_brewers_are_used_at_one_time(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    left = make.brewer(name="Left press")
    right = make.brewer(name="Right press", alike_to_id=left.id)
    asked = ask(client, STIRS, factor="stirs")
    brews = [make.brew(brewer=left, stirs=stirs, steep_s=120) for stirs in (1, 6)]
    tie(client, asked, "side_by_side", make.side_by_side(*brews))
    assert "brew A and B along, taste A and B side by side" in text_of(client, number(asked))
    save(client, number(asked))
    with Session(journal.reader) as session:
        (asked_for,) = asked_of(session, saved(journal)[0].id)
    assert asked_for.cups["B"].changes["brewer_id"] == right.id


# What is typed


@pytest.mark.parametrize(
    ("name", "typed", "message"),
    [
        ("b-stirs", "many", "Please write a number"),
        ("b-stirs", "1001", "Please stay between"),
        ("trials", "77", "Please choose one from the list."),
        ("trials", "", "Please choose one from the list."),
        ("test_id", "9999", "Please choose one from the list."),
    ],
)
def test_what_cannot_be_is_told_beside_its_field_and_stays_typed(
    client: FlaskClient, journal: Database, make: Make, name: str, typed: str, message: str
) -> None:
    question = stirred(client, make)
    answer = save(client, question, **{f"q{question}-{name}": typed})
    assert answer.status_code == 422
    assert message in page.text(answer.text)
    if name == "b-stirs":
        assert page.form(answer.text, holding="q")[f"q{question}-{name}"] == [typed]
    assert saved(journal) == []


@pytest.mark.parametrize("typed", ["0", "a litre", "1e9", ""])
def test_a_kettle_of_no_size_is_refused(
    client: FlaskClient, journal: Database, make: Make, typed: str
) -> None:
    question = stirred(client, make)
    answer = save(client, question, kettle_g=typed)
    assert answer.status_code == 422
    assert "Kettle holds" in page.text(answer.text)
    assert saved(journal) == []


def test_neither_side_by_side_nor_trial_is_refused(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    question = stirred(client, make)
    answer = save(client, question, **{f"q{question}-pair": None})
    assert answer.status_code == 422
    assert "Choose the side by side, blind trials, or both." in page.text(answer.text)
    assert saved(journal) == []


def test_more_than_one_sitting_holds_is_said_and_not_saved(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    ids = [stirred(client, make, f"{STIRS} {n}") for n in range(2)]
    typed = {f"q{question}-trials": "6" for question in ids}
    answer = save(client, *ids, **typed)
    assert answer.status_code == 422
    said = page.text(answer.text)
    assert "These are 14 rounds of brewing and tasting." in said
    assert saved(journal) == []


def test_many_trials_are_spread_over_days(client: FlaskClient, make: Make) -> None:
    question = stirred(client, make)
    typed = {f"q{question}-trials": "5", "again": "1"}
    answer = client.post(
        "/sittings/new", data=page.filled(shown(client, question), holding="q", **typed)
    )
    said = page.text(answer.text)
    assert "5 trials are more than one palate bears" in said
    assert "Spread them over 3 days" in said


def test_the_first_day_has_no_more_trials_than_one_palate_bears(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    first, then, last = (stirred(client, make, f"{STIRS} {n}") for n in range(3))
    values = page.filled(
        shown(client, first, then, last), holding="q", first_day="1",
        **{f"q{first}-trials": "1", f"q{then}-trials": "4", f"q{last}-trials": "2",
           f"q{last}-pair": None},
    )  # fmt: skip
    answer = client.post("/sittings/new", data=values)
    said = page.text(answer.text)
    assert "2 side by sides · 2 blind trials" in said
    assert "palate bears" not in said
    kept = page.form(answer.text, holding="q")
    assert kept["q"] == [str(first), str(then)]
    assert [kept[f"q{one}-trials"] for one in (first, then)] == [["1"], ["1"]]
    assert saved(journal) == []


@pytest.mark.parametrize("asked", ["", "x", "0", "-1", "99999999999", "1'", "\ud800"])
def test_whatever_stands_in_the_address_there_is_a_page(client: FlaskClient, asked: str) -> None:
    answer = client.get("/sittings/new", query_string={"q": asked.encode("utf-8", "replace")})
    assert answer.status_code == 200
    assert client.post("/sittings/new", data={"q": "x"}).status_code == 422


def test_only_open_questions_are_chosen_and_each_once(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    question = stirred(client, make)
    with Session(journal.writer) as session, session.begin():
        session.add(
            Question(
                text="Answered before", factors=[], asked_at=NOON, state="answered", answer="Yes.",
                answered_at=NOON,
            )
        )  # fmt: skip
    with Session(journal.reader) as session:
        answered = session.scalars(select(Question.id).where(Question.state == "answered")).one()
    said = text_of(client, question, question, answered)
    assert "1 side by side · 2 brews" in said
    assert "Answered before" not in said
    assert "Answered before" not in says(client, "/sittings/new")


def test_no_more_than_six_questions_go_into_a_plan(client: FlaskClient, make: Make) -> None:
    ids = [stirred(client, make, f"{STIRS} {n}") for n in range(8)]
    assert "6 side by sides · 12 brews" in text_of(client, *ids)


def test_a_plan_is_saved_once_however_often_it_is_sent(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    question = stirred(client, make)
    values = page.filled(shown(client, question), holding="q")
    answers = [client.post("/sittings/new", data=values) for _ in range(2)]
    assert answers[0].status_code == 303
    assert len(saved(journal)) == 1


def test_amounts_stand_in_the_units_of_the_household(client: FlaskClient, make: Make) -> None:
    opened = client.get("/settings/").text
    values = page.filled(opened, holding="mass_unit", mass_unit="oz", volume_unit="US fl oz")
    assert client.post("/settings/", data=values).status_code == 303
    question = stirred(client, make, dose_g=14.0)
    said = text_of(client, question)
    assert "0.988 oz of Morning Hill" in said
    assert "US fl oz of water to heat" in said
    assert " 28 g of" not in said


def test_caution_and_caffeine_stand_on_the_page(client: FlaskClient, make: Make) -> None:
    said = text_of(client, stirred(client, make))
    assert "Caffeine if swallowed" in said
    assert "Spit out what you taste, or share it" in said
    assert "not medical advice" in said


def test_reading_takes_no_more_statements_for_a_longer_journal(
    client: FlaskClient, make: Make, statements: Any
) -> None:
    question = stirred(client, make)
    shown(client, question)
    with statements() as few:
        shown(client, question)
    for _ in range(30):
        make.brew(steep_s=120)
    shown(client, question)
    with statements() as many:
        shown(client, question)
    assert len(many) <= len(few)
