"""Blind tests are written from plain values, without a form or a page."""

from __future__ import annotations

import pytest
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.blind.drawing import draw_trial
from app.journal.blind.saving import (
    BlindTestChanges,
    add_tasters,
    add_test,
    change_test,
    existing_or_new_tasters,
)
from app.models import BlindTaster, BlindTest, Taster, Trial
from tests.support.blind import ROW
from tests.support.clock import NOON


def planned(session: Session, names: tuple[str, ...] = ("Juniper",)) -> BlindTest:
    tasters = existing_or_new_tasters(session, [], names)
    return add_test(session, BlindTest(**ROW | {"entry_key": "papers"}), tasters, NOON)


def test_a_plan_has_each_of_its_tasters_once(journal: Database) -> None:
    with journal.write_session() as session, session.begin():
        test = planned(session, ("Juniper", "juniper"))
        (taster,) = existing_or_new_tasters(session, [], ["JUNIPER"])
        assert add_tasters(session, test.id, [taster], NOON) == 0
        assert session.scalar(select(func.count()).select_from(BlindTaster)) == 1


def test_a_taster_known_by_another_spelling_is_not_a_new_one(journal: Database) -> None:
    with journal.write_session() as session, session.begin():
        first = existing_or_new_tasters(session, [], ["Juniper", "Hazel"])
        again = existing_or_new_tasters(session, first, ["JUNIPER", "Ilex"])
        assert again[:2] == first
        assert len(again) == 3
        assert session.scalar(select(func.count()).select_from(Taster)) == 3


def test_what_may_change_is_changed_and_nothing_else(journal: Database) -> None:
    with journal.write_session() as session, session.begin():
        test = planned(session)
        change_test(session, test.id, BlindTestChanges("New papers", "solo", "moved"))
    with Session(journal.reader) as session:
        test = session.scalars(select(BlindTest)).one()
        assert (test.title, test.pouring, test.note) == ("New papers", "solo", "moved")
        fixed = ("method", "claim", "brewing", "rule", "p_d", "a_words", "b_words")
        assert [getattr(test, name) for name in fixed] == [ROW[name] for name in fixed]


@pytest.mark.parametrize("warm_up", [False, True])
def test_a_taster_has_one_unfinished_trial_at_a_time(journal: Database, warm_up: bool) -> None:
    with journal.write_session() as session, session.begin():
        test = planned(session)
        taster = existing_or_new_tasters(session, [], ["Juniper"])[0]
        drawn = {draw_trial(session, test, taster, NOON, warm_up=warm_up) for _ in range(2)}
        trial = session.scalars(select(Trial)).one()
        assert drawn == {trial.id}
        assert trial.warm_up == warm_up
        assert len(trial.cups) == 3
