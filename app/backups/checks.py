"""What can be wrong with a journal: a list of checks, each of which reads one open file.

To add a check, write a function from a connection to findings and name it in CHECKS.
"""

import os
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from pathlib import Path

from app.backups.files import reading_file
from app.backups.seals import (
    answers_before_draw,
    codes_of_ended_tests,
    key_of_answers,
    open_trials,
    seal_triggers,
)
from app.backups.tables import foreign_keys, revision, structure, tables, use_numbers, versions
from app.config import Config
from app.revisions import head

MOST_LISTED = 20
NOT_SOUND = "It is not a sound journal ({})."
READ_ONLY = (
    "every page and row of the file can be read. SQLite looks at the bounds of columns only in a "
    "file that may be written, which this one may not."
)

Look = Callable[[sqlite3.Connection], Iterator[str]]


class CouldNotLook(Exception):
    """The file was not read, so that nothing is known about it. Its text says why."""


class Weight(Enum):
    """What a finding means: the file is DAMAGED; its rows contradict each other (a DOUBT); or a
    clock that was set wrong may explain it (a REMARK)."""

    DAMAGE = 1
    DOUBT = 2
    REMARK = 3


@dataclass(frozen=True, slots=True)
class Check:
    """`passed` says what was looked at."""

    name: str
    passed: str
    look: Look
    weight: Weight = Weight.DAMAGE


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a check found; nothing where it passed. `skipped` says why it was left out."""

    check: Check
    findings: tuple[str, ...] = ()
    skipped: str = ""

    @property
    def line(self) -> str:
        says = self.skipped or " ".join(self.findings) or self.check.passed
        return f"{self.check.name}: {says}"


def check_file(path: Path) -> list[Outcome]:
    """Every check on a SQLite file, in the order of CHECKS.

    Raises CouldNotLook where the file is locked or cannot be read.
    """
    try:
        with reading_file(path) as journal:
            journal.execute("BEGIN")
            outcomes = check_open(journal)
    except sqlite3.DatabaseError as error:
        if is_damage(error):
            return [Outcome(CHECKS[0], (NOT_SOUND.format(error),))]
        raise CouldNotLook(why_not(path, error)) from None
    if not os.access(path, os.W_OK) and not outcomes[0].findings:
        outcomes[0] = replace(outcomes[0], skipped=READ_ONLY)
    return outcomes


def check_journal(config: Config) -> list[Outcome]:
    """Every check on the journal itself.

    Raises CouldNotLook also for a journal on PostgreSQL, and FileNotFoundError.
    """
    path = config.sqlite_path
    if path is None:
        raise CouldNotLook("This check reads SQLite journals; PostgreSQL checks its own.")
    if not path.exists():
        raise FileNotFoundError(f"There is no journal at {path}.")
    return check_file(path)


def find_damage(config: Config) -> list[str]:
    """What the checks found in the journal, in sentences; empty where all of them passed."""
    return [text for outcome in check_journal(config) for text in outcome.findings]


def check_open(journal: sqlite3.Connection) -> list[Outcome]:
    """A check that follows a damaged one is left out: its answer would mean nothing."""
    outcomes: list[Outcome] = []
    for check in CHECKS:
        if of_weight(Weight.DAMAGE, outcomes):
            outcomes.append(Outcome(check, skipped="not looked at, because of the above."))
        elif check in OF_THE_NEWEST and revision(journal) != head():
            outcomes.append(Outcome(check, skipped="looked at once the tables are up to date."))
        else:
            outcomes.append(_outcome(check, journal))
    return outcomes


def _outcome(check: Check, journal: sqlite3.Connection) -> Outcome:
    try:
        findings = list(check.look(journal))
    except sqlite3.DatabaseError as error:
        if not is_damage(error):
            raise
        return Outcome(check, (NOT_SOUND.format(error),))
    more = len(findings) - MOST_LISTED
    if more > 0:
        findings[MOST_LISTED:] = [f"And {more} more."]
    return Outcome(check, tuple(findings))


def of_weight(weight: Weight, outcomes: Sequence[Outcome]) -> list[str]:
    return [text for each in outcomes if each.check.weight is weight for text in each.findings]


def is_damage(error: sqlite3.DatabaseError) -> bool:
    """A missing table or column is damage too; a file that is locked or unreadable is not."""
    code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & 0xFF
    return code in {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_ERROR}


def why_not(path: Path, error: sqlite3.DatabaseError) -> str:
    """A sentence for a file that SQLite did not read."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    reason = {
        sqlite3.SQLITE_BUSY: "another program holds it locked; try again in a moment",
        sqlite3.SQLITE_LOCKED: "another program holds it locked; try again in a moment",
        sqlite3.SQLITE_CANTOPEN: "it could not be opened; look at the rights of file and folder",
        sqlite3.SQLITE_PERM: "the rights of the file do not allow it",
        sqlite3.SQLITE_READONLY: "its folder may not be written, which SQLite needs to read it",
        sqlite3.SQLITE_IOERR: "the disk reported an error while it was read",
        sqlite3.SQLITE_INTERRUPT: "it was stopped",
    }.get(code, str(error))
    return f"{path} could not be looked at: {reason}."


CHECKS = (
    Check(
        "Structure",
        "every page and row of the file can be read, and keeps the bounds of its column.",
        structure,
    ),
    Check("References", "every row that another row refers to is there.", foreign_keys),
    Check("Tables", "they are those of the Oddcup that wrote it.", tables),
    Check(
        "Versions", "changes are numbered without a gap, and can be read.", versions, Weight.DOUBT
    ),
    Check(
        "Use numbers", "uses of filters follow the times of the brews.", use_numbers, Weight.DOUBT
    ),
    Check(
        "Seals",
        "the database still refuses changes of what was drawn and answered.",
        seal_triggers,
        Weight.DOUBT,
    ),
    Check("Keys", "every answered trial has its key and answer.", key_of_answers, Weight.DOUBT),
    Check("Open trials", "each is its taster's only one in its test.", open_trials, Weight.DOUBT),
    Check("Times", "no trial was answered before its draw.", answers_before_draw, Weight.REMARK),
    Check("Codes", "none is open for a test that ended.", codes_of_ended_tests, Weight.REMARK),
)
OF_THE_NEWEST = CHECKS[3:]
