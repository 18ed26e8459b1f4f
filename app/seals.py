"""How far each blind test has come, remembered in a small file beside the journal.

The file tells when a journal is put back to an earlier state: the steps taken since are gone from
the journal, and still counted here. Its lines are only ever added, one for each step of a test
("KEY steps 7") and one where the journal was put back ("KEY put back MOMENT 5", the steps it has
since). KEY is the `entry_key` of the test.
"""

import os
import sqlite3
from collections.abc import Iterable, Mapping
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path

from sqlalchemy import make_url

from app.config import Config
from app.file.opened import sync_folder

# Steps are what only ever grows: draws, cards claimed and covered, answers, voids, the end.
STEPS = """
    SELECT test.id, test.entry_key, test.ended, count(trial.id) + count(trial.claimed_at)
        + count(trial.served_at) + count(trial.answered_at) + count(trial.lifted)
        + count(trial.voided_at) + CASE WHEN test.ended IS NULL THEN 0 ELSE 1 END
    FROM blind_test AS test LEFT JOIN trial ON trial.test_id = test.id
    GROUP BY test.id, test.entry_key, test.ended
"""
MARKS = """
    SELECT test.entry_key, mark.put_back_at
    FROM blind_test_mark AS mark JOIN blind_test AS test ON test.id = mark.test_id
"""


@dataclass(slots=True)
class Remembered:
    """Both by the key of the test: its steps, and when its journal was put back."""

    steps: dict[str, int] = field(default_factory=dict)
    put_back: dict[str, set[datetime]] = field(default_factory=dict)


class Seals:
    """The file beside a journal."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def read(self) -> Remembered:
        """What is remembered; a line that was cut off is passed over."""
        known = Remembered()
        try:
            lines = self.path.read_text("utf-8", "replace").splitlines()
        except OSError:
            return known
        for line in lines:
            try:
                _take_in(known, line.split())
            except (ValueError, IndexError):
                continue
        return known

    def note_steps(self, key: str, steps: int) -> None:
        self._add([f"{key} steps {steps}"])

    def note_put_back(self, steps: Mapping[str, int], moment: datetime) -> None:
        """These tests were put back, and have so many steps now."""
        at = moment.astimezone(UTC).isoformat()
        self._add([f"{key} put back {at} {count}" for key, count in steps.items()])

    def take_over(self, other: "Seals") -> None:
        """Know also what is remembered of another journal. Raises OSError."""
        if other.path.exists():
            lines = other.path.read_text("utf-8", "replace").splitlines()
            self._add([line for line in lines if line.strip()])

    def _add(self, lines: Iterable[str]) -> None:
        """On the disk when this returns. Raises OSError."""
        text = "".join(f"\n{line}\n" for line in lines)  # what was cut off before ends here
        if not text:
            return
        is_new = not self.path.exists()
        file = os.open(self.path, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)
        try:
            os.write(file, text.encode())
            os.fsync(file)
        finally:
            os.close(file)
        if is_new:
            sync_folder(self.path.parent)


def _take_in(known: Remembered, words: list[str]) -> None:
    if words[1:2] == ["steps"]:
        known.steps[words[0]] = max(known.steps.get(words[0], 0), int(words[2]))
    elif words[1:3] == ["put", "back"]:
        steps, moment = int(words[4]), datetime.fromisoformat(words[3]).astimezone(UTC)
        known.steps[words[0]] = steps
        known.put_back.setdefault(words[0], set()).add(moment)


def seals_of(config: Config) -> Seals:
    """A file of its own for each journal of a folder; one on a server is known by its address."""
    path = config.sqlite_path
    if path is not None:
        return Seals(path.with_name(f"{path.name}.seals"))
    address = make_url(config.url).set(password=None).render_as_string()
    return Seals(config.home / f"postgresql-{sha256(address.encode()).hexdigest()[:12]}.seals")


@dataclass(frozen=True, slots=True)
class PutBack:
    """The tests that a backup puts back, with the steps they have in it, and the marks of the
    journal that are not remembered, because its file of seals was lost."""

    seals: Seals
    tests: dict[str, int]
    lost_marks: list[tuple[str, datetime, int]]

    def note(self, now: datetime) -> None:
        """To be done before the backup takes the journal's place. Raises OSError."""
        for key, moment, steps in self.lost_marks:
            self.seals.note_put_back({key: steps}, moment)
        self.seals.note_put_back(self.tests, now)


def put_back_by(backup: Path, journal: Path) -> PutBack:
    """Which open tests go back if the backup takes the place of a SQLite journal.

    Those that have gone on since the backup, and also those of which nothing is known about that:
    the journal cannot be read, and nothing is remembered of the test.
    """
    seals = Seals(journal.with_name(f"{journal.name}.seals"))
    known, (now_there, marks) = seals.read(), _tests_in(journal)
    lost = [
        (key, moment, known.steps.get(key, now_there[key][1]))
        for key, moment in marks
        if moment not in known.put_back.get(key, ())
    ]
    tests = {}
    for key, (ended, steps) in _tests_in(backup)[0].items():
        reached = [known.steps.get(key), now_there[key][1] if key in now_there else None]
        most = max((count for count in reached if count is not None), default=None)
        if not ended and (most is None or most > steps):
            tests[key] = steps
    return PutBack(seals, tests, lost)


Tests = dict[str, tuple[bool, int]]


def _tests_in(file: Path) -> tuple[Tests, list[tuple[str, datetime]]]:
    """Whether each test has ended, its steps, and the marks; nothing for a file without them."""
    tests: Tests = {}
    marks: list[tuple[str, datetime]] = []
    if not file.exists():
        return tests, marks
    address = f"{file.resolve().as_uri()}?mode=rw"
    try:
        with closing(sqlite3.connect(address, uri=True, timeout=5)) as journal:
            journal.execute("PRAGMA query_only = ON")
            for _, key, ended, steps in journal.execute(STEPS):
                tests[key] = (ended is not None, steps)
            for key, moment in journal.execute(MARKS):
                marks.append((key, datetime.fromisoformat(moment).replace(tzinfo=UTC)))
    except sqlite3.DatabaseError:
        pass  # damaged, or of a revision before the tables
    return tests, marks
