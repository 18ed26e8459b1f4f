"""Planning a blind test: what it promises, what it refuses and why, and what stays fixed."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.blind.open import Due, due
from app.models import BlindTaster, BlindTest
from app.sensory.blind.design import CLASHES, Clash
from tests.support.blind import PLAN, blind_test, next_trial, one_trial, planned, rows
from tests.support.factories import Make
from tests.support.page import filled, text

CONTROLLED = {"rule": "fixed number", "fixed_trials": "12", "controls": "6"}


def looked(client: FlaskClient, **typed: Any) -> str:
    answer = client.post("/blind/new/look", data=PLAN | typed)
    assert answer.status_code == 200
    return text(answer.text)


def all_kept(journal: Database) -> list[BlindTest]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(BlindTest)))


def test_the_page_says_in_words_what_a_plan_would_find(client: FlaskClient) -> None:
    page = looked(client)
    # Exact: e-value 20 within 200 triangles at p_d 40 % (tests/sensory holds the lattice).
    assert "perceived in 40 % of trials is found 94 times in 100 within 200 trials" in page
    assert "guessing passes for a difference 3 times in 100" in page
    assert "on average at trial 23 where it is found" in page
    # Fault 16. ISO 4120: alpha .05, beta .20, p_d .40 takes 23 triangles (from memory); with 24 the
    # power is .787 (exact binomial), from 25 on it stays.
    assert "80 times in 100 from 25 on (23 reach it too, but not all numbers in between)" in page
    assert "has to be" not in page
    assert "Fewer cups:" in page


def test_fault_17_the_size_that_matters_is_the_persons_own_choice(client: FlaskClient) -> None:
    page = client.get("/blind/new").text
    typed = filled(page, holding="a_words")
    assert "p_d_pct" not in typed  # none is chosen for anybody
    shown = text(page)
    for size in ("1 trial of 5", "3 trials of 10", "2 trials of 5"):
        assert f"One that I truly notice in {size}" in shown
    assert "What this plan would find" not in shown
    answer = client.post("/blind/new", data={k: v for k, v in PLAN.items() if k != "p_d_pct"})
    assert answer.status_code == 422
    assert "Please choose one." in text(answer.text)


def test_a_fixed_number_says_which_counts_end_it_how(client: FlaskClient) -> None:
    page = looked(client, rule="fixed number", fixed_trials="30", p_d_pct="30")
    # 15 of 30 (FAO Manual, Appendix A); 11 is the greatest x with P(X <= x | 30, .5333) <= .10.
    assert "15 or more right show a difference, 11 or fewer are close enough" in page
    assert "Without a difference it ends close enough 72 times in 100" in page  # P(X <= 11 | 1/3)
    paired = looked(
        client, method="paired", attribute="body", rule="fixed number", fixed_trials="30"
    )
    assert "21 or more right, or 9 or fewer, show a difference, 13 to 17 are close enough" in paired


def test_a_plan_that_names_the_attribute_is_not_told_to(client: FlaskClient) -> None:
    assert "Fewer cups:" not in looked(client, method="paired", attribute="body")


def test_a_fixed_number_says_so_and_that_it_cannot_grow(client: FlaskClient) -> None:
    page = looked(client, rule="fixed number", fixed_trials="18")
    assert "is found 74 times in 100 within 18 trials" in page
    assert "adding trials later would make the result worthless" in page


def test_a_preference_has_a_promise_of_its_own(client: FlaskClient) -> None:
    page = looked(client, method="preference", rule="fixed number", fixed_trials="20")
    # 15 of 20 is the exact two-sided majority; 2 P(X >= 15 | 20, 1/2) = .0414.
    assert "a coin passes for a preference 4 times in 100" in page


def test_looking_saves_nothing_and_keeps_what_was_typed(
    client: FlaskClient, journal: Database
) -> None:
    page = client.post("/blind/new/look", data=PLAN | {"title": "Papers again"}).text
    typed = filled(page, holding="a_words")
    assert typed["title"] == ["Papers again"]
    assert typed["a_words"] == ["fresh paper"]
    assert all_kept(journal) == []


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ({"claim": "these ways of brewing"}, "can only show that these two brews differ"),
        (
            {"claim": "these ways of brewing", "brewing": "fresh pair each trial"},
            "the other stands out even if the recipe is the same",
        ),
        (
            {"claim": "these ways of brewing", "brewing": "fresh pair each trial", "controls": "9"},
            "judged against its A-against-A trials",
        ),
        ({"pouring": "solo", "method": "tetrad"}, "keep their neighbours when the tray turns"),
        ({"pouring": "solo", "controls": "4"}, "Whoever pours alone knows"),
        ({"method": "preference", "controls": "4"}, "A preference has no right answer"),
        ({"controls": "4"}, "so has the number of trials to be"),
        ({"rule": "fixed number", "fixed_trials": "18", "controls": "1"}, "mix in 2 or more"),
        ({"brewing": "fresh pair each trial"}, "every trial has other cups"),
        ({"method": "preference", "rule": "step by step"}, "counts right answers"),
        ({"rule": "step by step", "p_d_pct": "45"}, "Please choose one."),
        ({"method": "paired"}, "Name what to taste for"),
        ({"rule": "fixed number", "fixed_trials": ""}, "Please fill this in."),
        ({"rule": "fixed number", "fixed_trials": "3"}, "stay between 6 and 200"),
        ({"p_d_pct": ""}, "Please choose one."),
        ({"b_words": "fresh paper"}, "A and B are the same"),
        ({"a_words": ""}, "Say what is in this cup"),
        ({"a_filter_use": "2"}, "Choose a filter and say at which use."),
        ({"new_taster": ""}, "Please say who tastes."),
        ({"method": "guess"}, "Please choose one."),
        ({"controls": "201"}, "stay between 0 and 200"),
    ],
)
def test_what_would_be_invalid_is_refused_with_the_reason(
    client: FlaskClient, journal: Database, typed: dict[str, str], reason: str
) -> None:
    answer = client.post("/blind/new", data=PLAN | typed)
    assert answer.status_code == 422
    assert reason in text(answer.text)
    assert all_kept(journal) == []


@pytest.mark.parametrize(
    "typed",
    [
        {"brewing": "fresh pair each trial", "method": "paired", "attribute": "body"},
        {"brewing": "fresh pair each trial", "method": "preference"},
        {"brewing": "every cup its own"},
        {"brewing": "fresh pair each trial", "controls": "9", "rule": "fixed number"},
    ],
)
def test_a_claim_about_ways_of_brewing_stands_on_fresh_brews(
    client: FlaskClient, journal: Database, typed: dict[str, str]
) -> None:
    test = planned(client, claim="these ways of brewing", fixed_trials="18", **typed)
    assert blind_test(journal, test).claim == "these ways of brewing"


def test_a_refused_plan_says_each_reason_once_beside_its_field(client: FlaskClient) -> None:
    typed = {"claim": "these ways of brewing", "title": "Papers again"}
    answer = client.post("/blind/new", data=PLAN | typed)
    page = text(answer.text)
    assert page.count("can only show that these two brews differ") == 1
    assert "Nothing was saved yet How are the cups brewed?" in page
    kept = filled(answer.text, holding="a_words")
    assert kept["title"] == ["Papers again"]
    assert kept["claim"] == ["these ways of brewing"]


@pytest.mark.parametrize("clash", CLASHES)
def test_the_page_is_told_what_goes_together_and_why_not_as_choices_are_made(
    client: FlaskClient, clash: Clash
) -> None:
    typed = {"yes": "y", "no": "", "some": "5", "none": ""}
    chosen = {field: typed.get(words[0], words[0]) for field, words in clash.when.items()}
    ways = {"claim": "these ways of brewing"} if "brewing" in chosen else {}
    fixed = {"rule": "fixed number"} if clash.field == "controls" else {}
    told = client.post("/blind/new/choices", data=PLAN | ways | fixed | chosen).get_json()
    if clash.field in told["cards"]:
        assert not {told["cards"][clash.field]["chosen"]} & set(clash.when[clash.field])
    assert any(clash.why in note for note in told["notes"][clash.field])


def test_fault_15_the_number_of_controls_is_fixed_and_its_power_told_before_the_first_cup(
    client: FlaskClient, journal: Database
) -> None:
    fresh = {"claim": "these ways of brewing", "brewing": "fresh pair each trial"}
    plan = fresh | {"rule": "fixed number", "fixed_trials": "30", "controls": "30"}
    page = looked(client, **plan)
    assert "With 30 trials and 30 of A against A" in page
    assert "is found 56 times in 100" in page
    assert "at most 5 times in 100" in page
    test = planned(client, **plan)
    assert blind_test(journal, test).controls == 30
    assert "30 trials, mixed in by lot" in text(client.get(f"/blind/{test}").text)


def test_a_plan_is_kept_as_typed_with_its_taster(client: FlaskClient, journal: Database) -> None:
    test = blind_test(journal, planned(client, rule="step by step", p_d_pct="30"))
    assert (test.method, test.rule, test.p_d) == ("triangle", "step by step", 0.3)
    assert (test.alpha, test.beta, test.fixed_trials) == (0.05, 0.10, None)
    assert (test.attribute, test.more) == ("", None)
    assert test.title == "fresh paper or paper on its third use"
    with Session(journal.reader) as session:
        assert session.scalars(select(BlindTaster.test_id)).all() == [test.id]


def test_a_cup_can_be_a_brew_a_recipe_or_a_filter_at_a_use(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    brew, paper = make.brew(), make.filter()
    revision = make.recipe().revisions[0]
    both = planned(client, a_words="", a_brew_id=str(brew.id), b_revision_id=str(revision.id))
    test = blind_test(journal, both)
    assert test.a_words.startswith("Morning Hill")
    assert (test.a_brew_id, test.b_revision_id) == (brew.id, revision.id)
    assert f"/brews/{brew.id}" in client.get(f"/blind/{test.id}").text
    papers = planned(client, a_words="", a_filter_id=str(paper.id), a_filter_use="3")
    test = blind_test(journal, papers)
    assert (test.a_filter_id, test.a_filter_use) == (paper.id, 3)
    assert test.a_words == "White round no. 1, use 3"


def test_one_form_sent_twice_makes_one_test(client: FlaskClient, journal: Database) -> None:
    page = client.get("/blind/new").text
    given = {"a_words": "one", "b_words": "two", "new_taster": "Fern", "p_d_pct": "40"}
    typed = filled(page, holding="entry_key", **given)
    sent = [client.post("/blind/new", data=typed).location for _ in range(2)]
    assert sent[0] == sent[1]
    assert len(all_kept(journal)) == 1


def test_a_plan_like_another_starts_from_its_values(client: FlaskClient, make: Make) -> None:
    test, _ = rows(make, [], method="paired", attribute="body", more="A", p_d=0.3)
    typed = filled(client.get(f"/blind/new?like={test.id}").text, holding="a_words")
    assert typed["attribute"] == ["body"]
    assert typed["more"] == ["A"]
    assert typed["p_d_pct"] == ["30"]


def test_title_note_and_pouring_may_change_and_the_plan_may_not(
    client: FlaskClient, journal: Database
) -> None:
    test = planned(client)
    next_trial(client, test)
    typed = {"title": "Papers", "note": "bag 3", "pouring": "coded", "method": "paired"}
    sent = filled(client.get(f"/blind/{test}/edit").text, holding="title", **typed)
    assert client.post(f"/blind/{test}/edit", data=sent).status_code == 303
    kept = blind_test(journal, test)
    assert (kept.title, kept.note, kept.pouring) == ("Papers", "bag 3", "coded")
    assert kept.method == "triangle"


def test_a_test_with_controls_cannot_turn_solo(client: FlaskClient, journal: Database) -> None:
    test = planned(client, **CONTROLLED)
    answer = client.post(f"/blind/{test}/edit", data={"title": "Papers", "pouring": "solo"})
    assert answer.status_code == 422
    assert "Whoever pours alone knows" in text(answer.text)
    assert blind_test(journal, test).pouring == "helper"


def test_the_list_has_open_tests_first_and_says_how_the_others_ended(
    client: FlaskClient, journal: Database
) -> None:
    done = planned(client, title="Rinsed or not")
    for _ in range(4):
        one_trial(client, journal, done, right=True)
    planned(client, title="Fresh or used")
    page = text(client.get("/blind/").text)
    assert page.index("Fresh or used") < page.index("Ended") < page.index("Rinsed or not")
    assert "4 of 4 right" in page
    assert "shown" in page[page.index("Rinsed or not") :]


def test_a_binned_test_leaves_the_list_and_comes_back(client: FlaskClient) -> None:
    test = planned(client, title="Rinsed or not")
    client.post(f"/blind/{test}/bin")
    client.get("/blind/")  # takes the message along
    assert "Rinsed or not" not in client.get("/blind/").text
    assert client.post(f"/blind/{test}/next").location == f"/blind/{test}"
    client.post(f"/blind/{test}/restore")
    assert "Rinsed or not" in client.get("/blind/").text


def test_what_is_due_is_the_test_last_worked_on(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    with Session(journal.reader) as session:
        assert due(session) is None
    used, (*_, last) = rows(make, [{}], title="Used")
    rows(make, [], title="Only planned")
    rows(make, [], title="Done", ended="stopped", stopped_at=used.made_at)
    with Session(journal.reader) as session:
        assert due(session) == Due(used.id, "Used", False, last.id, 1)


def test_pages_ask_no_more_often_with_more_trials(
    client: FlaskClient, make: Make, statements: Any
) -> None:
    from tests.support.blind import ANSWERED, CLAIMED, SEEN, SERVED

    done = CLAIMED | SERVED | ANSWERED | SEEN
    few, _ = rows(make, [done] * 2)
    many, _ = rows(make, [done] * 30)
    seen = []
    for test in (few, many):
        client.get(f"/blind/{test.id}")
        with statements() as asked:
            assert client.get(f"/blind/{test.id}").status_code == 200
        seen.append(len(asked))
    assert seen[0] == seen[1]
