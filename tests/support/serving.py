"""`oddcup serve` and the other commands as a user runs them, on a journal in a file."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from uuid import uuid4

from app.config import sqlite_url
from app.database import Database
from tests.support.caller import Caller
from tests.support.factories import Make
from tests.support.server import ROOT, let_ctrl_c_through, port_of_our_own

OPEN = "Ctrl+C closes it."


# Root may read and write whatever the modes of files say, unless started so.
BOUND_BY_MODES = ["setpriv", "--bounding-set", "-dac_override,-dac_read_search"]


def command(journal: Path, *words: object, before: Sequence[str] = ()) -> subprocess.Popen[str]:
    """Start the command, its data folder beside the journal's."""
    return subprocess.Popen(
        [*before, sys.executable, "-B", "-m", "app", "--journal", str(journal), *map(str, words)],
        cwd=ROOT,
        env=os.environ | {"XDG_DATA_HOME": str(journal.parent), "ODDCUP_DATABASE_URL": ""},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def run(journal: Path, *words: object, before: Sequence[str] = ()) -> tuple[int, str]:
    """Run a command to its end; its exit code, and what it said, never a traceback."""
    with command(journal, *words, before=before) as process:
        try:
            said, errors = process.communicate(timeout=60)
        finally:
            process.kill()
    assert "Traceback" not in errors, errors
    return process.returncode, (said + errors).strip()


class Serving:
    """A server in a process of its own, and a browser at it."""

    def __init__(self, journal: Path, process: subprocess.Popen[str], port: int) -> None:
        self.journal, self.process, self.port = journal, process, port
        self.caller = Caller(f"http://127.0.0.1:{port}")
        assert process.stdout
        self.said = ""
        while OPEN not in self.said:
            line = process.stdout.readline()
            assert line, f"it did not open: {self.said}{process.communicate()[1]}"
            self.said += line

    def save(self, note: str = "") -> bool:
        """Save a brew; whether that was acknowledged."""
        form = self.caller.brew_form() | {"entry_key": [str(uuid4())], "note": [note]}
        return self.caller.post("/brews/new", form) == 303

    def end(self, how: int = signal.SIGTERM) -> tuple[int, str]:
        """Its exit code, and what it had to say after it was open."""
        self.process.send_signal(how)
        said, errors = self.process.communicate(timeout=60)
        return self.process.returncode, said + errors


@contextmanager
def serving(journal: Path, *words: object) -> Iterator[Serving]:
    let_ctrl_c_through()
    port = port_of_our_own()
    with command(journal, "serve", "--port", port, *words) as process:
        try:
            yield Serving(journal, process, port)
        finally:
            process.kill()


def brews(file: Path) -> int:
    """Of the file alone: its log is left out, and nothing is made beside it."""
    with closing(sqlite3.connect(f"{file.as_uri()}?immutable=1", uri=True)) as journal:
        return int(journal.execute("SELECT count(*) FROM brew").fetchone()[0])


def brew_into(file: Path, times: int = 1) -> None:
    """So many brews more, in a journal that nobody has open."""
    database = Database(sqlite_url(file))
    make = Make(database)
    for _ in range(times):
        make.brew()
    database.dispose()


def beside(journal: Path) -> set[str]:
    """What stands in the journal's folder but the files of every served journal."""
    return {path.name for path in journal.parent.iterdir()} - {journal.name, "pages", "secret.key"}
