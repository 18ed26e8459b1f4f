"""Checks of blind tests: changes are still refused by the database, and the rows agree."""

import sqlite3
from collections.abc import Iterator

# By migrations 0003 and 0008, which say what each of them refuses.
TRIGGERS = (
    "trial_kept", "trial_not_deleted", "trial_not_replaced",
    "blind_test_kept", "blind_test_not_deleted", "blind_test_not_replaced",
    "trial_before_end", "trial_from_kept", "blind_test_mark_kept", "blind_test_mark_not_deleted",
)  # fmt: skip


def seal_triggers(journal: sqlite3.Connection) -> Iterator[str]:
    query = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
    there = dict(journal.execute(query).fetchall())
    for name in TRIGGERS:
        if "RAISE(ABORT" not in there.get(name, ""):
            yield f"The trigger {name} is missing: blind tests could be changed unseen."


def open_trials(journal: sqlite3.Connection) -> Iterator[str]:
    query = """
        SELECT test_id, taster_id, count(*) FROM trial
        WHERE voided_at IS NULL
            AND (answered_at IS NULL OR (pouring = 'solo' AND lifted IS NULL))
        GROUP BY test_id, taster_id HAVING count(*) > 1
    """
    for test_id, taster_id, count in journal.execute(query):
        yield f"Taster {taster_id} has {count} open trials in blind test {test_id}."
    query = """
        SELECT trial.id, test.id FROM trial JOIN blind_test test ON test.id = trial.test_id
        WHERE test.ended IS NOT NULL AND trial.answered_at IS NULL AND trial.voided_at IS NULL
    """
    for trial_id, test_id in journal.execute(query):
        yield f"Trial {trial_id} is open, though its blind test {test_id} has ended."


def key_of_answers(journal: sqlite3.Connection) -> Iterator[str]:
    query = """
        SELECT id, test_id FROM trial WHERE answered_at IS NOT NULL
            AND (coalesce(length(cups), 0) < 1 OR answer IS NULL OR answer > max(length(cups), 2))
    """
    for trial_id, test_id in journal.execute(query):
        yield f"Trial {trial_id} of blind test {test_id} lacks its key or its answer."


def answers_before_draw(journal: sqlite3.Connection) -> Iterator[str]:
    query = "SELECT id, test_id FROM trial WHERE answered_at < drawn_at"
    for trial_id, test_id in journal.execute(query):
        yield (
            f"Trial {trial_id} of blind test {test_id} was answered before it was drawn: either "
            "this machine's clock was set back in between, or the file was changed."
        )


def codes_of_ended_tests(journal: sqlite3.Connection) -> Iterator[str]:
    query = """
        SELECT DISTINCT test.id FROM pairing_code code
        JOIN blind_test test ON test.id = code.guest_of_test_id
        WHERE code.used_at IS NULL AND code.expires_at > datetime('now')
            AND (test.ended IS NOT NULL OR test.binned_at IS NOT NULL)
    """
    for (test_id,) in journal.execute(query):
        yield f"A guest's code of blind test {test_id} is open, though the test has ended."
