"""The demo's household: two alike brewers, fair pairs, blind tests that their rules ended, a photo,
and questions whose answers say no more than the tool reads from the evidence."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import UTC, datetime, time
from io import BytesIO
from itertools import pairwise

import pytest
from flask.testing import FlaskClient
from PIL import Image
from sqlalchemy import func, select

from app import create_app
from app.config import Config
from app.journal.blind.answers import answers_of
from app.journal.blind.plan import refusals
from app.journal.blind.standing import standing
from app.journal.pairs.fairness import compare
from app.journal.pairs.pair import read_sides
from app.models import (
    Afterthought,
    BlindTest,
    Brew,
    Brewer,
    BrewPhoto,
    Question,
    QuestionBlindTest,
    SideBySide,
    Trial,
)
from seed_demo.calendar import PAIRS
from tests.demo.conftest import TODAY
from tests.support import page

NOW = datetime.combine(TODAY, time(12), UTC)
# The pair that changed two things at once, and the one that changed nothing.
UNFAIR = ("both at once",)
REPEATS = ("The same twice",)


@pytest.fixture(scope="module")
def client(demo_config: Config) -> FlaskClient:
    return create_app(demo_config).test_client()


def test_two_brewers_are_alike_and_both_are_used(demo):
    alike = demo.execute(
        select(Brewer.name, Brewer.capacity_g, Brewer.capacity_dose_g, func.count(Brew.id))
        .join(Brew)
        .where(Brewer.kind == "pressed immersion")
        .group_by(Brewer.id)
    ).all()
    assert {name for name, *_ in alike} == {"Left press", "Right press"}
    assert len({tuple(holds) for _, *holds, _ in alike}) == 1
    assert min(brews for *_, brews in alike) >= 60
    firsts = demo.scalars(select(Brewer.alike_to_id).where(Brewer.alike_to_id.is_not(None)))
    assert list(demo.scalars(select(Brewer.name).where(Brewer.id.in_(list(firsts))))) == [
        "Left press"
    ]


def test_pressed_pairs_are_brewed_left_and_right_at_once(demo):
    """They read as a test of the one thing changed, which is never which press it was."""
    pressed = 0
    for saved in demo.scalars(select(SideBySide)):
        sides = read_sides(demo, [saved.brew_a_id, saved.brew_b_id])
        a, b = sides[saved.brew_a_id], sides[saved.brew_b_id]
        if a.row.kind == "pressed immersion":
            pressed += 1
            assert (a.details.brewer_name, b.details.brewer_name) == ("Left press", "Right press")
            assert (b.details.brewed_at - a.details.brewed_at).seconds <= 120
            assert compare(a.setup, b.setup).states["first_brewer_id"] == "alike"
    assert pressed >= 12


def test_no_paper_goes_from_one_brewer_to_another(demo):
    brewers = (
        select(func.count(Brew.brewer_id.distinct()))
        .select_from(Brew)
        .join(Brew.stack)
        .group_by("filter_id")
        .having(func.count() > 1)
    )
    paper = list(demo.scalars(brewers))
    assert paper.count(1) >= len(paper) - 1, "only the metal filter has been in both presses"


def test_a_pair_changes_what_its_note_says_and_nothing_else(demo):
    verdicts = {}
    for saved in demo.scalars(select(SideBySide)):
        sides = read_sides(demo, [saved.brew_a_id, saved.brew_b_id])
        a, b = sides[saved.brew_a_id].setup, sides[saved.brew_b_id].setup
        verdicts[saved.note] = compare(a, b).verdict
    assert len(verdicts) >= len(PAIRS) - 2
    for note, verdict in verdicts.items():
        told = [words for words in (*UNFAIR, *REPEATS) if words in note]
        expected = "several" if told == [*UNFAIR] else "repeat" if told else "one"
        assert verdict == expected, note


def test_blind_tests_of_four_methods_planned_as_the_tool_allows(demo):
    tests = list(demo.scalars(select(BlindTest).order_by(BlindTest.id)))
    assert {test.method for test in tests} == {"triangle", "preference", "A-not-A", "paired"}
    assert [refusals(test) for test in tests] == [[]] * len(tests)
    assert Counter(test.ended for test in tests) == {"shown": 2, None: 2}


def test_each_ended_when_its_rule_was_met_and_not_before(demo):
    for test in list(demo.scalars(select(BlindTest))):
        answers = answers_of(demo, test, NOW)
        assert not answers.others
        assert standing(test, answers).ends == test.ended, test.title
        before = replace(answers, finished=answers.finished[:-1])
        assert standing(test, before).ends is None, test.title
        times = select(Trial.drawn_at, Trial.answered_at).where(Trial.test_id == test.id)
        rows = demo.execute(times.order_by(Trial.number)).all()
        assert all(earlier.answered_at < later.drawn_at for earlier, later in pairwise(rows))


def test_something_is_said_after_a_reveal_and_both_cups_can_be_tasted_again(demo, client):
    said = demo.scalars(select(Afterthought)).one()
    trial = demo.get_one(Trial, said.id)
    assert said.noted_at > trial.seen_at
    shown = page.text(client.get(f"/blind/trials/{trial.id}").text)
    assert f"Liked better: Cup A Ground by hand {said.note}" in shown
    assert "Taste both again, now knowing" in shown


@pytest.mark.parametrize(
    ("asked", "level"),
    [
        ("Hand mill or electric", "shown for two cups"),
        ("Is a warmed mug better", "shown"),
        ("Does the stir matter", "hint"),
        ("Does the water have to boil", "anecdote"),
        ("Is a big bag still good", "anecdote"),
    ],
)
def test_the_tool_reads_from_the_evidence_what_the_demo_says(demo, client, asked, level):
    question = demo.scalars(select(Question).where(Question.text.startswith(asked))).one()
    told = client.get(f"/questions/{question.id}/export.json")
    strength = told.json["strength"]
    assert strength["level"] == level
    assert (question.state == "answered") == level.startswith("shown")


def test_an_answer_names_who_tasted_and_who_did_not(demo):
    rows = demo.execute(
        select(Question.answer, BlindTest.claim)
        .join(QuestionBlindTest, QuestionBlindTest.question_id == Question.id)
        .join(BlindTest, BlindTest.id == QuestionBlindTest.test_id)
        .where(Question.state == "answered")
    ).all()
    assert len(rows) == 2
    for answer, claim in rows:
        assert "Ivo" in answer
        assert ("one pair of cups" in answer) == (claim == "these cups")


def test_one_drawn_photo_without_a_camera(demo, client):
    photo = demo.scalars(select(BrewPhoto)).one()
    assert "a drawing" in photo.alt
    with Image.open(BytesIO(photo.jpeg)) as picture:
        assert picture.size == (640, 420)
        assert not picture.getexif()
        assert len(picture.resize((64, 42)).getcolors(64 * 42)) > 50
    assert len(photo.jpeg) < 40_000
    shown = client.get(f"/brews/{photo.brew_id}").text
    assert f'alt="{photo.alt}"' in shown
