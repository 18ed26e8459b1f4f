"""Trouble with the disk or the program is said in words, and what was typed is not lost.

With -s the table of what the user sees is printed.
"""

from __future__ import annotations

import errno
import os
import shutil
import sqlite3
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import event
from sqlalchemy.exc import DBAPIError

from app import create_app
from app.config import Config
from app.database import Database
from app.file.refused import JournalBusy, JournalDamaged, JournalMoved
from app.trouble import TROUBLES, in_words, trouble_of
from app.web import errors
from tests.support import page
from tests.support.caller import Answer, Caller
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.server import port_of_our_own, started

ROOT = os.geteuid() == 0
# Root without the right to pass over what files and folders allow.
AS_ANYBODY = ("setpriv", "--bounding-set=-dac_override,-dac_read_search") if ROOT else ()
TYPED = {"text": "Is a finer grind sweeter?", "factor": ""}
OWN_PAGE = {"Origin": "http://localhost", "Sec-Fetch-Site": "same-origin"}


@pytest.fixture(scope="module")
def table() -> Iterator[list[str]]:
    lines: list[str] = []
    yield lines
    print("\n" + "\n".join(lines))


def _row(table: list[str], kind: str, reading: Any, saving: Any) -> None:
    said = page.text(saving.text).partition("That did not work ")[2]
    table.append(
        f"{kind:22} reading {reading.status_code}, saving {saving.status_code}: {said[:90]}"
    )


def _refused(answer: Any, status: int, sentence: str) -> None:
    says = page.text(answer.text)
    assert answer.status_code == status
    assert sentence in says
    assert "Nothing of this was saved." in says
    assert "safe" not in says
    assert page.form(answer.text, holding="text")["text"] == [TYPED["text"]]


def _questions(config: Config) -> int:
    assert config.sqlite_path
    with closing(sqlite3.connect(config.sqlite_path)) as journal:
        return int(journal.execute("SELECT count(*) FROM question").fetchone()[0])


@pytest.fixture
def small_disk(sqlite_template: Path) -> Iterator[Path]:
    """A file system of 4 MB with a journal on it."""
    home = Path(tempfile.mkdtemp(prefix="oddcup-small-"))
    mount = ["mount", "-t", "tmpfs", "-o", "size=4m", "tmpfs", str(home)]
    if not ROOT or subprocess.run(mount, capture_output=True, check=False).returncode:
        home.rmdir()
        pytest.skip("only root may mount a small disk")
    shutil.copyfile(sqlite_template, home / "journal.db")
    yield home
    subprocess.run(["umount", "-l", str(home)], check=True)
    home.rmdir()


def _fill(folder: Path) -> Path:
    filler = folder / "filler"
    with filler.open("wb", buffering=0) as file, suppress(OSError):
        while file.write(bytes(1024)):
            pass
    return filler


def test_a_full_disk_is_read_and_said(small_disk: Path, table: list[str]) -> None:
    """C8: every page opens for the first time while not a byte is left."""
    config = Config(f"sqlite:///{small_disk / 'journal.db'}", small_disk, "for tests only")
    app = create_app(config)
    app.config.update(WTF_CSRF_ENABLED=False)
    client = app.test_client()
    Make(app.extensions["oddcup_database"]).brew()
    assert client.get("/more").status_code == 200
    filler = _fill(small_disk)
    saved = [client.post("/questions/new", data=TYPED)]
    while saved[-1].status_code == 303:  # the log still had room
        saved.append(client.post("/questions/new", data=TYPED))
    _refused(saved[-1], 507, "The disk that holds the journal is full.")
    paths = ("/", "/brews/", "/bags/", "/gear/", "/filters/", "/recipes/", "/worksheets/",
             "/brews/new", "/brews/1", "/questions/", "/nowhere")  # fmt: skip
    answers = [client.get(path) for path in paths]
    assert [answer.status_code for answer in answers] == [200] * 10 + [404]
    _row(table, "disk full", answers[0], saved[-1])
    filler.unlink()
    assert client.post("/questions/new", data=TYPED).status_code == 303
    assert _questions(config) == len(saved)
    app.extensions["oddcup_database"].dispose()


def test_a_journal_that_can_grow_no_more_says_that_the_disk_is_full(
    sqlite_config: Config, client: FlaskClient, journal: Database, table: list[str]
) -> None:
    """C8, where no small disk can be mounted: SQLite is told how many pages there may be."""

    def small(driver: Any, _record: object) -> None:
        driver.execute(
            f"PRAGMA max_page_count = {driver.execute('PRAGMA page_count').fetchone()[0]}"
        )

    event.listen(journal.engine, "connect", small)
    photo = {"text": TYPED["text"], "factor": ""}
    saved = [client.post("/questions/new", data=photo)]
    while saved[-1].status_code == 303 and len(saved) < 200:
        saved.append(client.post("/questions/new", data=photo))
    _refused(saved[-1], 507, "The disk that holds the journal is full.")
    assert client.get("/questions/").status_code == 200
    assert _questions(sqlite_config) == len(saved) - 1
    _row(table, "no page left", client.get("/questions/"), saved[-1])


def test_a_file_that_may_not_be_written_is_read_and_said(
    sqlite_config: Config, table: list[str]
) -> None:
    """C6: a real process that may only read the file."""
    assert sqlite_config.sqlite_path
    if AS_ANYBODY and shutil.which(AS_ANYBODY[0]) is None:
        pytest.skip("root may write every file")
    sqlite_config.sqlite_path.chmod(0o444)
    port = port_of_our_own()
    with started(sqlite_config, port, lambda command: [*AS_ANYBODY, *command]):
        caller = Caller(f"http://127.0.0.1:{port}")
        offered = page.filled(caller.get("/questions/new"), holding="text", **TYPED)
        answer = caller.answer_to("/questions/new", offered)
    _refused(answer, 503, "its file, its folder or its disk is read-only")
    _row(table, "read-only file", Answer(200, ""), answer)


@pytest.mark.parametrize(
    ("error", "kind", "status"),
    [
        (JournalBusy(), "busy", 503),
        (JournalDamaged(), "only read", 503),
        (OSError(errno.ENOSPC, "No space left on device"), "full", 507),
        (OSError(errno.EROFS, "Read-only file system"), "read-only", 503),
        (OSError(errno.EIO, "Input/output error"), "disk", 500),
        (OSError(errno.EMFILE, "Too many open files"), "used up", 503),
        (OSError("of our own, without a number"), None, 0),
        (ValueError("a fault"), None, 0),
    ],
)
def test_every_trouble_has_its_own_status(error: Exception, kind: str | None, status: int) -> None:
    """C6, C19."""
    trouble = trouble_of(error)
    assert (trouble.kind if trouble else None) == kind
    assert trouble is None or trouble.status == status


@pytest.mark.parametrize(
    ("code", "kind"),
    [
        (sqlite3.SQLITE_BUSY, "busy"),
        (sqlite3.SQLITE_BUSY_SNAPSHOT, "busy"),
        (sqlite3.SQLITE_LOCKED, "busy"),
        (sqlite3.SQLITE_FULL, "full"),
        (sqlite3.SQLITE_READONLY, "read-only"),
        (sqlite3.SQLITE_READONLY_DIRECTORY, "read-only"),
        (sqlite3.SQLITE_READONLY_DBMOVED, "moved"),
        (sqlite3.SQLITE_IOERR, "disk"),
        (sqlite3.SQLITE_IOERR_FSYNC, "disk"),
        (sqlite3.SQLITE_IOERR_SHMSIZE, "full"),
        (sqlite3.SQLITE_CORRUPT, "damaged"),
        (sqlite3.SQLITE_CORRUPT_INDEX, "damaged"),
        (sqlite3.SQLITE_NOTADB, "no journal"),
        (sqlite3.SQLITE_CANTOPEN, "not opened"),
        (sqlite3.SQLITE_CONSTRAINT, None),
    ],
)
def test_every_code_of_sqlite_has_its_trouble(code: int, kind: str | None) -> None:
    """C6: also as SQLAlchemy passes it on."""
    error = sqlite3.OperationalError("said by SQLite")
    error.sqlite_errorcode = code  # type: ignore[attr-defined]
    wrapped = DBAPIError.instance("SELECT 1", None, error, sqlite3.Error)
    for each in (error, wrapped):
        trouble = trouble_of(each)
        assert (trouble.kind if trouble else None) == kind
        assert in_words(each) == str(trouble or each)  # a command says what a page says


def test_sentences_differ_and_each_has_a_way_out() -> None:
    assert len({trouble.what for trouble in TROUBLES.values()}) == len(TROUBLES)
    assert all(trouble.way_out and trouble.status >= 500 for trouble in TROUBLES.values())


@pytest.fixture
def failing(app: Flask, monkeypatch: pytest.MonkeyPatch) -> Callable[[BaseException], FlaskClient]:
    """The saving of a question raises this, and the app answers as it does when it is served."""
    app.config.update(TESTING=False, PROPAGATE_EXCEPTIONS=False)

    def fail(error: BaseException) -> FlaskClient:
        def raise_it(*_: object, **__: object) -> None:
            raise error

        monkeypatch.setattr("app.web.session.Database.writing", raise_it)
        return app.test_client()

    return fail


def test_a_fault_of_the_program_says_nothing_it_did_not_look_at(
    failing: Callable[[BaseException], FlaskClient],
) -> None:
    """C6: no "your journal is safe"."""
    answer = failing(ZeroDivisionError()).post("/questions/new", data=TYPED)
    _refused(answer, 500, "Oddcup made a mistake.")


def test_a_moved_journal_is_said(failing: Callable[[BaseException], FlaskClient]) -> None:
    """C4: the sentence of the page."""
    moved = JournalMoved(Path("journal.db"), Path("backups/kept.db"))
    answer = failing(moved).post("/questions/new", data=TYPED)
    _refused(answer, 503, "was moved, deleted or replaced while it was open")


def test_what_was_saved_before_the_fault_is_not_denied(
    app: Flask, client: FlaskClient, monkeypatch: pytest.MonkeyPatch, sqlite_config: Config
) -> None:
    app.config.update(TESTING=False, PROPAGATE_EXCEPTIONS=False)

    def fail(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("app.questions.views.redirect", fail)
    answer = client.post("/questions/new", data=TYPED)
    says = page.text(answer.text)
    assert answer.status_code == 500
    assert "It was saved before that" in says
    assert "Nothing of this was saved." not in says


@pytest.mark.parametrize("error", [OSError(errno.ENOSPC, "No space left"), ZeroDivisionError()])
def test_the_error_page_is_shown_though_no_template_can_be_read(
    error: Exception,
    failing: Callable[[BaseException], FlaskClient],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """C8: never the server's bare 500; what was typed is in it."""
    client = failing(JournalBusy())

    def fail(*_: object, **__: object) -> str:
        raise error

    monkeypatch.setattr(errors, "render_template", fail)
    answer = client.post("/questions/new", data=TYPED | {"text": TYPED["text"]})
    _refused(answer, 503, "The journal is busy")
    hostile = client.post("/questions/new", data={"text": "<script>", "factor": '"'})
    assert "<script>" not in hostile.text


def test_a_file_cannot_be_sent_again_and_that_is_said(
    failing: Callable[[BaseException], FlaskClient], make: Make
) -> None:
    from io import BytesIO

    make.brew()
    client = failing(JournalBusy())
    typed = page.form(client.get("/brews/new").text, holding="entry_key")
    photo = (BytesIO(b"\xff\xd8\xff\xd9"), "cup.jpg")
    answer = client.post("/brews/new", data=typed)
    assert "The file is not" not in page.text(answer.text)
    answer = client.post("/questions/new", data=TYPED | {"photo": photo})
    assert "The file is not: choose it again afterwards." in page.text(answer.text)


def test_a_form_of_an_earlier_session_is_saved_by_one_tap(
    app: Flask, client: FlaskClient, sqlite_config: Config
) -> None:
    """C18: the cookie is gone, what was typed is not."""
    app.config["WTF_CSRF_ENABLED"] = True
    typed = page.filled(client.get("/questions/new").text, holding="text", **TYPED)
    later = app.test_client()
    refused = later.post("/questions/new", data=typed, headers=OWN_PAGE)
    assert refused.status_code == 400
    assert "it was not saved" in page.text(refused.text)
    again = page.form(refused.text, holding="text")
    assert again["text"] == [TYPED["text"]]
    assert again["csrf_token"] != typed["csrf_token"]
    assert later.post("/questions/new", data=again, headers=OWN_PAGE).status_code == 303


@pytest.mark.parametrize(
    "headers",
    [{}, {"Origin": "http://elsewhere.example"}, {"Origin": "null"},
     OWN_PAGE | {"Sec-Fetch-Site": "cross-site"}, {"Sec-Fetch-Site": "same-origin"}],
)  # fmt: skip
def test_nobody_else_is_given_a_token(headers: dict[str, str], app: Flask) -> None:
    """C18: only what a page of ours sent comes back as a form."""
    app.config["WTF_CSRF_ENABLED"] = True
    answer = app.test_client().post("/questions/new", data=TYPED, headers=headers)
    assert answer.status_code in {400, 403}
    assert TYPED["text"] not in answer.text


def test_a_page_of_a_phone_names_no_path(app: Flask, client: FlaskClient) -> None:
    """Restoring is done on the journal's own machine."""
    from tests.support.phone import Phone, new_code

    app.config.update(WTF_CSRF_ENABLED=True, LAN_ADDRESSES=("192.168.1.20",))
    app.config["TRUSTED_HOSTS"] = ["127.0.0.1", "localhost", "192.168.1.20"]
    phone = Phone(app)
    assert phone.pair(new_code(client)).status_code == 303
    from app.health import Health

    app.extensions["oddcup_watch"].health = Health(["Page 7 is damaged."], [], None, False, True)
    app.config["CLOCK"] = lambda: NOON + timedelta(minutes=1)
    says = page.text(phone.ask("/journal-file").text)
    assert "Restoring is done on the journal’s own machine." in says
    assert "oddcup" not in says
    assert "oddcup --journal" in page.text(client.get("/journal-file").text)
