"""A comparison is saved from plain values, without a page."""

from __future__ import annotations

from datetime import timedelta

from app.database import Database
from app.journal.pairs.saved import SENT_TWICE, Comparison, save_comparison, saved_with
from tests.support.clock import NOON
from tests.support.factories import Make


def test_the_same_sent_twice_at_once_is_saved_once(journal: Database, make: Make) -> None:
    a, b = make.brew(), make.brew()
    comparison = Comparison(a.id, b.id, "b", "brighter")
    with journal.write_session() as session, session.begin():
        for seconds in (0, 1):
            save_comparison(session, comparison, NOON + timedelta(seconds=seconds))
        assert len(saved_with(session, a.id, b.id)) == 1
        save_comparison(session, comparison, NOON + 2 * SENT_TWICE)
        latest, first = saved_with(session, b.id, a.id)
        assert (latest.preference, latest.note, first.saved_at) == ("b", "brighter", NOON)
