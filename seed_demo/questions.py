"""The household's questions, and the evidence gathered under each."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, time, timedelta
from random import Random
from zoneinfo import ZoneInfo

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.models import (
    Base,
    BlindTest,
    Brew,
    Question,
    QuestionBlindTest,
    QuestionBrew,
    QuestionSideBySide,
    SideBySide,
)
from seed_demo.blind_tests import METAL, USED, add_blind_test
from seed_demo.calendar import PAIRS
from seed_demo.household import ZONE
from seed_demo.kitchen import Brewed
from seed_demo.stock import Stock

LATEST = 12
METAL_ANSWER = (
    "Nell tells the metal disc by its body, with her eyes closed. Whether it is better is "
    "another matter: she likes it on cold mornings, Ivo minds the mud. Ivo has not tried blind."
)


def add_questions(
    session: Session, stock: Stock, brewed: Sequence[Brewed], end_on: date, seed: int
) -> None:
    """Three questions with their evidence, by a random generator of their own: other rows stay."""
    rng = Random(f"questions {seed} {end_on.isoformat()}")
    metal = add_blind_test(session, METAL, stock.tasters, end_on, rng)
    used = add_blind_test(session, USED, stock.tasters, end_on, rng)
    session.flush()
    saved = {one.note: one for one in session.scalars(select(SideBySide))}
    jug = Question(
        text="Is the jug worth its cartridges?", factor="kettle water", asked_at=_at(end_on, 160)
    )
    which = Question(
        text="Paper or metal: can we taste it?",
        factor="filter",
        asked_at=_at(end_on, 150),
        state="answered",
        answer=METAL_ANSWER,
        answered_at=_at(end_on, 17),
    )
    paper = Question(
        text="Does a paper used three times taste different?",
        factor="use of the filter",
        asked_at=_at(end_on, 40),
    )
    session.add_all([jug, which, paper])
    session.flush()
    session.add_all(_evidence(jug, [saved[_note("tap")]]))
    session.add_all(_evidence(which, [saved[_note("Metal")]], [metal]))
    session.add_all(_evidence(paper, [saved[_note("Used")]], [used], _morning_cups(brewed)))


def _morning_cups(brewed: Sequence[Brewed]) -> list[Brew]:
    """The latest morning cups through a round paper, whatever its use."""
    plain = [
        one.brew
        for one in brewed
        if one.plan.recipe == "morning"
        and not one.plan.decaf
        and one.plan.paper == "usual"
        and one.plan.tasters
        and one.plan.pair is None
    ]
    return plain[-LATEST:]


def _evidence(
    question: Question,
    pairs: Iterable[SideBySide] = (),
    tests: Iterable[BlindTest] = (),
    brews: Iterable[Brew] = (),
) -> list[Base]:
    asked = question.id
    return [
        *(QuestionSideBySide(question_id=asked, side_by_side_id=one.id) for one in pairs),
        *(
            QuestionBlindTest(question_id=asked, test_id=one.id, tied_at=one.made_at)
            for one in tests
        ),
        *(QuestionBrew(question_id=asked, brew_id=one.id) for one in brews),
    ]


def _note(word: str) -> str:
    """The note of the pair that contains this word."""
    return next(pair.note for pair in PAIRS if word in pair.note)


def _at(end_on: date, days_ago: int) -> datetime:
    evening = datetime.combine(end_on - timedelta(days=days_ago), time(20, 40), ZoneInfo(ZONE))
    return evening.astimezone(UTC)
