"""What a plan starts with, how it is said, and what the page offers where no script runs."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable
from datetime import timedelta
from random import Random

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session
from werkzeug.datastructures import MultiDict

from app.blind.choices import CARDS, choices_of, fit
from app.blind.forms import PlanForm
from app.blind.sentence import in_one_sentence
from app.database import Database
from app.journal.blind.plan import choices_of as choices_of_test
from app.models import BlindTest, Question, QuestionBlindTest
from app.seals import seals_of
from app.sensory.blind.design import refused
from app.sensory.terms import BREWINGS, CLAIMS, METHODS, POURINGS, RULES
from tests.support.blind import PLAN, all_trials, planned
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.page import filled, read, text

WORDS = {
    "claim": CLAIMS, "brewing": BREWINGS, "method": METHODS,
    "tasting": ("one", "several", "panel"), "pouring": POURINGS, "rule": RULES,
    "reminder": ("", "y"), "controls": ("", "7"),
}  # fmt: skip


def offered(html: str, field: str) -> list[str]:
    """The values of the radio buttons that can be chosen, as they stand in the page."""
    cards = re.findall(rf'<label class="choice"( hidden)?><input([^>]*name="{field}"[^>]*)>', html)
    assert cards
    assert all(bool(hidden) == ("disabled" in card) for hidden, card in cards)
    values = [re.search(r'value="([^"]*)"', card) for hidden, card in cards if not hidden]
    return [value.group(1) for value in values if value]


def test_every_plan_that_is_sent_is_fitted_to_one_that_holds(app: object) -> None:
    for words in itertools.product(*WORDS.values()):
        form = PlanForm(MultiDict(zip(WORDS, words, strict=True)))
        holds = not refused(choices_of(form))
        before = choices_of(form)
        offers = fit(form)
        now = choices_of(form)
        assert refused(now) == {}
        assert now == before or not holds
        for field in CARDS:
            assert now[field] not in offers[field].closed
        for field, word in now.items():
            told = any(note.startswith("Changed to") for note in offers[field].notes)
            assert told == (word != before[field]), (before, field)


def test_the_server_offers_only_what_goes_together_and_decides_after_a_step(
    client: FlaskClient,
) -> None:
    page = client.get("/blind/new").text
    assert offered(page, "claim") == list(CLAIMS)
    assert offered(page, "brewing") == ["one pair"]
    typed = PLAN | {"claim": "these ways of brewing", "pouring": "solo", "a_words": "stirred"}
    page = client.post("/blind/new/look", data=typed).text
    assert offered(page, "brewing") == ["fresh pair each trial", "every cup its own"]
    assert offered(page, "pouring") == ["helper", "coded"]
    assert offered(page, "rule") == ["fixed number"]
    now = filled(page, holding="a_words")
    assert now["brewing"] == ["fresh pair each trial"]
    assert (now["rule"], now["controls"]) == (["fixed number"], ["18"])
    assert now["a_words"] == ["stirred"]
    assert '<details class="more" id="otherwise" open>' in page
    said = text(page)
    assert "Changed to: Fresh for every trial." in said
    assert "Left out: One brew of each." in said
    again = client.post("/blind/new", data=now)
    assert again.status_code == 303, text(again.text)  # not refused a second time


def test_what_is_wrong_within_the_fold_opens_it_and_what_is_wrong_above_does_not(
    client: FlaskClient,
) -> None:
    shut, opened = '<details class="more" id="otherwise">', '<details class="more" id="otherwise" '
    assert shut in client.get("/blind/new").text
    answer = client.post("/blind/new", data=PLAN | {"p_d_pct": "", "a_words": ""})
    assert answer.status_code == 422
    assert shut in answer.text
    for wrong in ({"method": "paired"}, {"rule": "fixed number", "fixed_trials": "many"}):
        answer = client.post("/blind/new", data=PLAN | wrong)
        assert answer.status_code == 422
        assert f"{opened}open>" in answer.text
    assert filled(answer.text, holding="a_words")["fixed_trials"] == ["many"]


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        (
            {"pouring": "solo"},
            "You will get three cups, two of them the same, and say which is the odd one; you pour "
            "alone, with marks under the cups, and turn the tray until you have lost count; all "
            "cups come from these two brews, and the answer is about them only; you see after each "
            "trial whether it is enough, and may stop whenever you like.",
        ),
        (
            {"method": "paired", "attribute": "body", "rule": "fixed number", "fixed_trials": "24"},
            "You will get two cups and say which has more body; somebody else pours while you look "
            "away; all cups come from these two brews, and the answer is about them only; there "
            "are 24 trials and no more.",
        ),
        (
            {
                "claim": "these ways of brewing", "brewing": "every cup its own",
                "method": "A-not-A", "reminder": "y", "pouring": "coded", "tasting": "several",
            },
            "Each taster will taste a cup known to be A, then one without knowing which it is, and "
            "say whether it is A; somebody fills and codes the vessels beforehand, for many "
            "mornings at once if they like; every cup is a brew of its own, and the answer is "
            "about these ways of brewing; you see after each trial whether it is enough, and may "
            "stop whenever you like.",
        ),
        (
            {"tasting": "panel", "rule": "fixed number", "fixed_trials": "12"},
            "Each of 12 tasters will, once, get three cups, two of them the same, and say which is "
            "the odd one; somebody who does not taste pours; all cups come from these two brews, "
            "and the answer is about them only; there is no result before the end.",
        ),
    ],
)  # fmt: skip
def test_a_plan_is_said_in_one_plain_sentence(
    client: FlaskClient, typed: dict[str, str], sentence: str
) -> None:
    page = client.post("/blind/new/look", data=PLAN | typed).text
    assert sentence in text(page)


def test_the_page_says_what_each_size_takes_before_one_is_chosen(client: FlaskClient) -> None:
    # The same exact lattice as the promise of a plan (23 trials at p_d 40 % in test_plan.py).
    page = text(client.get("/blind/new").text)
    assert "that takes 78, 41 or 23 trials on average: small, medium or large" in page
    assert "Two brews give only a few trials" in page
    fixed = {"rule": "fixed number", "fixed_trials": "18"}
    page = text(client.post("/blind/new/look", data=PLAN | fixed).text)
    # P(X >= 10 | 18, p), exact binomial (scipy): .301, .521, .737.
    assert "This number finds it 30, 52 or 74 times in 100: small, medium or large." in page
    liked = text(client.post("/blind/new/look", data=PLAN | {"method": "preference"}).text)
    assert "trials on average: small, medium or large" in liked


def test_every_plan_that_holds_is_one_whole_sentence() -> None:
    fields = {**WORDS, "reminder": ("no", "yes"), "controls": ("none", "some")}
    for words in itertools.product(*fields.values()):
        choices = dict(zip(fields, words, strict=True))
        if refused(choices) or (choices["reminder"] == "yes" and choices["method"] != "A-not-A"):  # type: ignore[arg-type]
            continue
        said = in_one_sentence(choices, attribute="body", trials=24, controls=9)  # type: ignore[arg-type]
        assert said.count(".") == 1
        assert 3 <= said.count(";") <= 4
        assert len(said) < 360
        assert "{" not in said
        packed = "for many mornings at once" in said
        assert not packed or (choices["method"], choices["pouring"]) == ("A-not-A", "coded")


def test_two_brews_on_the_table_are_tested_as_these_cups_and_named_by_what_differs(
    client: FlaskClient, make: Make, freeze: Callable[[object], None]
) -> None:
    a = make.brew(brewed_at=NOON, dose_g=14.5, flipped=True)
    b = make.brew(brewed_at=NOON, dose_g=16.0, flipped=False)
    freeze(NOON + timedelta(hours=1))
    now = filled(
        client.get(f"/blind/new?a_brew_id={a.id}&b_brew_id={b.id}").text, holding="a_words"
    )
    assert (now["a_words"], now["b_words"]) == (
        ["dose 14.5\N{NO-BREAK SPACE}g, flipped"], ["dose 16\N{NO-BREAK SPACE}g, upright"],
    )  # fmt: skip
    assert (now["claim"], now["method"], now["brewing"]) == (
        ["these cups"], ["triangle"], ["one pair"],
    )  # fmt: skip
    assert (now["pouring"], now["rule"], now["tasting"]) == (["solo"], ["every morning"], ["one"])
    assert "p_d_pct" not in now  # which size matters is never chosen for anybody


def test_brews_that_are_gone_by_now_are_tested_as_ways_of_brewing(
    client: FlaskClient, journal: Database, make: Make, freeze: Callable[[object], None]
) -> None:
    a, b = make.brew(brewed_at=NOON, stirs=2), make.brew(brewed_at=NOON, stirs=9)
    freeze(NOON + timedelta(days=1))
    page = client.get(f"/blind/new?a_brew_id={a.id}&b_brew_id={b.id}").text
    assert "the answer is about these ways of brewing" in text(page)
    sent = filled(page, holding="a_words", p_d_pct="30", new_taster="Fern", start="yes")
    assert client.post("/blind/new", data=sent).location == "/blind/trials/1"
    with Session(journal.reader) as session:
        test = session.scalars(select(BlindTest)).one()
    assert refused(choices_of_test(test)) == {}
    assert (test.claim, test.method) == ("these ways of brewing", "A-not-A")


def test_two_brews_alike_in_all_are_still_told_apart_in_words(
    client: FlaskClient, make: Make, freeze: Callable[[object], None]
) -> None:
    a, b = make.brew(brewed_at=NOON), make.brew(brewed_at=NOON)
    freeze(NOON)
    now = filled(
        client.get(f"/blind/new?a_brew_id={a.id}&b_brew_id={b.id}").text, holding="a_words"
    )
    assert now["a_words"] != now["b_words"]


def test_what_is_asked_for_that_is_not_there_leaves_a_plain_plan(client: FlaskClient) -> None:
    for asked in ("a_brew_id=7&b_brew_id=8", "a_brew_id=x&b_brew_id=-1", "question_id=99"):
        page = client.get(f"/blind/new?{asked}")
        assert page.status_code == 200
        assert filled(page.text, holding="a_words")["claim"] == ["these cups"]


def test_start_draws_the_first_trial_and_remembers_it_beside_the_journal(
    client: FlaskClient, journal: Database
) -> None:
    answer = client.post("/blind/new", data=PLAN | {"start": "yes"})
    (trial,) = all_trials(journal)
    assert answer.location == f"/blind/trials/{trial.id}"
    assert (trial.number, trial.served_at, trial.warm_up) == (1, None, False)
    config = client.application.config["JOURNAL"]
    assert list(seals_of(config).read().steps.values()) == [1]


@pytest.mark.parametrize(
    "typed",
    [
        {"tasting": "several"},
        {"tasting": "panel", "rule": "fixed number", "fixed_trials": "12"},
        {"pouring": "coded"},
    ],
)
def test_where_others_come_first_no_trial_is_drawn_yet(
    client: FlaskClient, journal: Database, typed: dict[str, str]
) -> None:
    """Tasters join, and what is coded beforehand is packed, before the first trial."""
    assert planned(client, start="yes", **typed) == 1
    assert all_trials(journal) == []


def test_a_start_sent_twice_is_one_test_with_one_trial(
    client: FlaskClient, journal: Database
) -> None:
    page = client.get("/blind/new").text
    given = {"a_words": "one", "b_words": "two", "new_taster": "Fern", "p_d_pct": "40"}
    typed = filled(page, holding="entry_key", start="yes", **given)
    sent = [client.post("/blind/new", data=typed).location for _ in range(2)]
    assert sent == ["/blind/trials/1"] * 2
    assert len(all_trials(journal)) == 1


def test_a_test_is_put_under_the_question_it_was_planned_for(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    question = make.save(Question(text="Does a second stir matter?", asked_at=NOON))
    page = client.get(f"/blind/new?question_id={question.id}").text
    assert "gathered under the question “Does a second stir matter?”" in text(page)
    given = {"a_words": "one", "b_words": "two", "new_taster": "Fern", "p_d_pct": "40"}
    client.post("/blind/new", data=filled(page, holding="a_words", **given))
    with Session(journal.reader) as session:
        (link,) = session.scalars(select(QuestionBlindTest))
        assert (link.question_id, link.test_id) == (question.id, 1)
        assert link.tied_at is not None
    answer = client.post("/blind/new", data=PLAN | {"question_id": "77"})
    assert answer.status_code == 422
    assert "Please choose one from the list." in text(answer.text)


def test_the_first_button_of_the_plan_starts_it(client: FlaskClient) -> None:
    """It is the one that the Enter key presses."""
    page = client.get("/blind/new").text
    form = page[page.index("data-plan") :]
    assert re.search(r"<button[^>]*>([^<]*)", form[: form.index("</form>")]).group(1) == (  # type: ignore[union-attr]
        "Start this test"
    )
    assert read(page)


def test_nothing_that_is_put_together_wrongly_is_a_fault(client: FlaskClient) -> None:
    """Such as a panel too small for its method, whose size nothing can be worked out for."""
    six = {"tasting": "panel", "rule": "fixed number", "fixed_trials": "6"}
    told = client.post("/blind/new/choices", data=PLAN | six | {"method": "paired"})
    assert told.get_json()["takes"] == ""
    assert client.post("/blind/new", data=PLAN | six | {"method": "A-not-A"}).status_code == 422
    known = {**WORDS, "fixed_trials": ("6", "18", "x", "1e9"), "p_d_pct": ("", "30", "45", "z")}
    source = Random(3)
    for _ in range(300):
        given = {name: source.choice([*words, "", "<b>"]) for name, words in known.items()}
        sent = {name: word for name, word in given.items() if source.random() < 0.95}
        assert client.post("/blind/new/choices", data=sent).status_code == 200, sent
    for _ in range(30):
        given = {name: source.choice(words) for name, words in known.items()}
        assert client.post("/blind/new/look", data=PLAN | given).status_code == 200, given
