"""Questions are written from plain values, without a page."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.questions import add_question, questions_of, tie, untie, write_answer
from tests.support.clock import NOON
from tests.support.factories import Make

LATER = NOON + timedelta(hours=1)


def test_a_question_is_added_tied_and_untied(journal: Database, make: Make) -> None:
    brew = make.brew()
    with journal.write_session() as session, session.begin():
        question = add_question(session, "Does it matter?", ["dose"], NOON)
        tie(session, question.id, "brew", brew.id)
        tie(session, question.id, "brew", brew.id)
    with Session(journal.reader) as session:
        assert [row.text for row in questions_of(session, "brew", brew.id).under] == [
            "Does it matter?"
        ]
    for removed in (True, False):
        with journal.write_session() as session, session.begin():
            assert untie(session, question.id, "brew", brew.id) is removed


def test_what_does_not_exist_cannot_be_tied(journal: Database, make: Make) -> None:
    with journal.write_session() as session, pytest.raises(LookupError):
        tie(session, 4321, "brew", make.brew().id)


def test_the_moment_of_answering_stays_until_the_question_is_opened_again(
    journal: Database,
) -> None:
    with journal.write_session() as session, session.begin():
        question = add_question(session, "Does it matter?", [], NOON)
        write_answer(question, "Yes.", "answered", NOON)
        write_answer(question, "A little.", "answered", LATER)
        assert (question.answer, question.answered_at) == ("A little.", NOON)
        write_answer(question, "A little.", "open", LATER)
        assert question.answered_at is None
