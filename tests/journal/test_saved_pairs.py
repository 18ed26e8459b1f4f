"""A comparison is saved from plain values, without a page."""

from __future__ import annotations

from app.database import Database
from app.journal.pairs.saved import Comparison, save_comparison, saved_with
from tests.support.clock import A_DAY, NOON
from tests.support.factories import Make


def test_the_same_may_be_said_of_two_brews_again(journal: Database, make: Make) -> None:
    a, b = make.brew(), make.brew()
    comparison = Comparison(a.id, b.id, "b", "brighter")
    with journal.write_session() as session, session.begin():
        save_comparison(session, comparison, NOON)
        assert len(saved_with(session, a.id, b.id)) == 1
        save_comparison(session, comparison, NOON + A_DAY)
        latest, first = saved_with(session, b.id, a.id)
        assert (latest.preference, latest.note, first.saved_at) == ("b", "brighter", NOON)
