"""What `oddcup check` finds, in plain words and by its exit code."""

from __future__ import annotations

import sqlite3
import threading
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from app.backups.checks import CHECKS, check_file
from app.backups.seals import answers_before_draw, codes_of_ended_tests, key_of_answers, open_trials
from app.cli import main
from tests.support.backups import change
from tests.support.factories import Make
from tests.support.household import furnish

CHANGED = (
    "INSERT INTO change (thing, row_id, number, changed_at, device, what, before, after) "
    "VALUES ('brew', 1, {}, '2026-01-01', '', '', '[]', '[]')"
)


def check(file: Path, capsys: pytest.CaptureFixture[str]) -> tuple[int, list[str]]:
    code = main(["--journal", str(file), "check"])
    written = capsys.readouterr()
    return code, (written.out + written.err).strip().splitlines()


def test_a_sound_journal_gets_a_line_a_check_and_code_0(
    file: Path, make: Make, capsys: pytest.CaptureFixture[str]
) -> None:
    furnish(make)
    code, lines = check(file, capsys)
    assert code == 0
    assert lines[: len(CHECKS)] == [f"{each.name}: {each.passed}" for each in CHECKS]
    assert lines[-1] == f"{file} is sound, as far as these checks go."


@pytest.mark.parametrize(
    ("damage", "line"),
    [
        (["DELETE FROM bean"], "References: Row 1 of bag points at a missing bean."),
        (
            ["PRAGMA ignore_check_constraints = ON", "UPDATE brew SET dose_g = -3 WHERE id = 1"],
            "Structure: CHECK constraint failed in brew",
        ),
        (["DROP INDEX ix_filter_use_filter_id_brewed_at"], "Tables: The index ix_filter_use"),
        (["DROP TABLE brew_photo"], "Tables: The table brew_photo is missing."),
        (["CREATE TABLE stamps (country TEXT)"], "Tables: The table stamps is not one of"),
        (["ALTER TABLE brew ADD COLUMN mood TEXT"], "Tables: The column mood of brew is extra."),
        (["DELETE FROM alembic_version"], "Tables: It does not say which Oddcup wrote it."),
        (
            ["UPDATE alembic_version SET version_num = '9000'"],
            "Tables: It was written by a newer Oddcup (revision 9000",
        ),
        (
            ["UPDATE filter_use SET brewed_at = '2025-01-01 00:00:00.000000' WHERE brew_id = 3"],
            "References: Row ",
        ),
        ([CHANGED.format(1), CHANGED.format(3)], "Versions: Of brew 1 there are 2 changes"),
        ([CHANGED.format(1), "UPDATE change SET after = '[{'"], "Versions: Change 1 of brew 1"),
        (["DROP TRIGGER trial_kept"], "Seals: The trigger trial_kept is missing"),
        (["DROP TRIGGER trial_before_end"], "Seals: The trigger trial_before_end is missing"),
        (
            ["DROP TRIGGER blind_test_kept", "CREATE TRIGGER blind_test_kept BEFORE UPDATE ON "
             "blind_test BEGIN SELECT 1; END"],
            "Seals: The trigger blind_test_kept is missing",
        ),
    ],
)  # fmt: skip
def test_each_kind_of_damage_has_its_line_and_code_1(
    damage: list[str], line: str, file: Path, make: Make, capsys: pytest.CaptureFixture[str]
) -> None:
    furnish(make)
    make._journal.dispose()
    change(file, *damage)
    code, lines = check(file, capsys)
    assert code == 1
    assert [each for each in lines if each.startswith(line)], lines
    assert lines[-1] == f"{file} is not sound."


SECOND_OPEN = """
    INSERT INTO trial (test_id, taster_id, number, pouring, warm_up, is_control, cups, codes,
        drawn_at, note, void_reason)
    SELECT test_id, taster_id, number + ?, pouring, 0, 0, cups, codes, drawn_at, '', ''
    FROM trial WHERE id = 1
"""


def test_rows_that_the_database_would_refuse_are_found_where_it_was_kept_from_that(
    file: Path, make: Make
) -> None:
    """With the index or the trigger gone the file is not sound anyway; each check sees its own."""
    furnish(make)
    make._journal.dispose()
    with closing(sqlite3.connect(file)) as journal:
        assert [
            *open_trials(journal),
            *key_of_answers(journal),
            *answers_before_draw(journal),
        ] == []
        journal.execute("DROP INDEX uq_trial_one_open_a_taster")
        journal.execute("DROP TRIGGER trial_not_replaced")
        for more in (900, 901):
            journal.execute(SECOND_OPEN, (more,))
        (of,) = journal.execute("SELECT test_id FROM trial WHERE id = 1").fetchone()
        (found,) = open_trials(journal)
        assert found.endswith(f"open trials in blind test {of}.")
        journal.execute("SAVEPOINT still_open")
        journal.execute("UPDATE blind_test SET ended = 'stopped', stopped_at = made_at")
        assert f"Trial 1 is open, though its blind test {of} has ended." in open_trials(journal)
        journal.execute("ROLLBACK TO still_open")
        journal.execute("DROP TRIGGER trial_kept")
        journal.execute("PRAGMA ignore_check_constraints = ON")
        journal.execute(
            "UPDATE trial SET cups = '', answer = 1, served_at = drawn_at, "
            "answered_at = datetime(drawn_at, '-1 hour') WHERE id = 1"
        )
        (found,) = key_of_answers(journal)
        assert found == f"Trial 1 of blind test {of} lacks its key or its answer."
        (found,) = answers_before_draw(journal)
        assert "was answered before it was drawn" in found
        journal.execute(
            "INSERT INTO pairing_code (code_hash, made_at, expires_at, guest_of_test_id, "
            "guest_taster_id) SELECT 'x', '2026-01-01', '2999-01-01', test_id, taster_id "
            "FROM blind_taster"
        )
        assert list(codes_of_ended_tests(journal)) == []
        journal.execute("DROP TRIGGER blind_test_kept")
        journal.execute("UPDATE blind_test SET binned_at = '2026-01-02'")
        assert len(list(codes_of_ended_tests(journal))) == 1


def test_use_numbers_are_counted_from_the_brews(file: Path, make: Make) -> None:
    paper = make.filter()
    for _ in range(3):
        make.brew(filters=[paper])
    make._journal.dispose()
    (check,) = [each for each in CHECKS if each.name == "Use numbers"]
    with closing(sqlite3.connect(file)) as journal:
        assert list(check.look(journal)) == []
        journal.execute("UPDATE filter_use SET brewed_at = '2030-01-01' WHERE brew_id = 2")
        assert list(check.look(journal)) == [
            "Filter 1 has another use number in brew 2 than its time gives.",
            "Filter 1 has another use number in brew 3 than its time gives.",
        ]


@contextmanager
def locked(file: Path) -> Iterator[None]:
    """Held as another program holds it that lets nobody read."""
    with closing(sqlite3.connect(file, isolation_level=None)) as other:
        other.execute("PRAGMA journal_mode = DELETE")
        other.execute("BEGIN EXCLUSIVE")
        yield


@pytest.mark.parametrize("command", ["check", "backup"])
@pytest.mark.servers
def test_a_locked_journal_is_not_called_damaged(
    command: str, file: Path, make: Make, capsys: pytest.CaptureFixture[str]
) -> None:
    """C19: `check` called it "not a sound journal", and `backup` waited for ever."""
    make.brew()
    make._journal.dispose()
    began = time.monotonic()
    with locked(file):
        code = main(["--journal", str(file), command])
    assert code == 2
    assert time.monotonic() - began < 20
    assert "another program holds it locked" in capsys.readouterr().err
    assert not list(file.parent.glob("backups/backup-*"))


def test_a_journal_without_its_revision_is_not_said_to_be_newer(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """C19: "written by a newer Oddcup (revision None)"."""
    change(file, "DELETE FROM alembic_version")
    code, lines = check(file, capsys)
    assert code == 1
    assert "Tables: It does not say which Oddcup wrote it." in lines
    assert "newer Oddcup" not in " ".join(lines)


def test_a_check_keeps_no_writer_waiting(file: Path, make: Make) -> None:
    make.brew()
    stop = threading.Event()

    def look() -> None:
        while not stop.is_set():
            check_file(file)

    thread = threading.Thread(target=look)
    thread.start()
    try:
        began = time.monotonic()
        for _ in range(20):
            make.brew()
        assert time.monotonic() - began < 10
    finally:
        stop.set()
        thread.join()


def test_what_follows_damage_is_not_claimed(file: Path, make: Make) -> None:
    make.brew()
    make._journal.dispose()
    change(file, "DELETE FROM bean")
    lines = [outcome.line for outcome in check_file(file)]
    assert lines[0].startswith("Structure: every page")
    assert all("not looked at" in line for line in lines[2:])
