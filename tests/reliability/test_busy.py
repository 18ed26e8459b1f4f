"""A journal that something else holds: readers go on, writers are answered in the stated time."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import timedelta
from threading import Event, Thread
from time import monotonic
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import create_engine, text

from app.config import Config
from app.database import Database
from app.database.turns import MOST_WHILE_STUCK, STUCK, Turns
from app.file.refused import BUSY_S, JournalBusy
from tests.support import page
from tests.support.caller import Caller
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.phone import Phone, new_code
from tests.support.server import served

HELD_S, PATIENCE_S = 9.0, 1.5  # 30 s and 5 s of a real day, shortened alike
WRITERS, READERS = 16, 4
PAUSE_S = 0.1
SLACK_S = 2.0  # a busy machine of the tests


@contextmanager
def held(config: Config) -> Iterator[None]:
    """Another program holds the lock for writing."""
    assert config.sqlite_path
    with closing(sqlite3.connect(config.sqlite_path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        yield
        other.execute("ROLLBACK")


def again_and_again(act: Callable[[], Any], over: Event, times: list[tuple[float, Any]]) -> Thread:
    def loop() -> None:
        while not over.is_set():
            began = monotonic()
            answer = act()
            times.append((monotonic() - began, answer))
            over.wait(PAUSE_S)

    thread = Thread(target=loop)
    thread.start()
    return thread


def test_readers_go_on_and_writers_are_refused_in_time(
    sqlite_config: Config, app: Flask, journal: Database, make: Make
) -> None:
    """C7: sixteen writers, and threads for four; nobody reads for longer than a second."""
    make.brew()
    journal.patience_s = PATIENCE_S
    reads: list[tuple[float, Any]] = []
    writes: list[tuple[float, Any]] = []
    over = Event()
    with served(app) as address:
        caller = Caller(address)
        offered = caller.brew_form()

        def write() -> int:
            return Caller(address).post("/brews/new", offered)

        def read() -> str:
            return Caller(address).get("/brews/")

        with held(sqlite_config):
            threads = [again_and_again(write, over, writes) for _ in range(WRITERS)]
            threads += [again_and_again(read, over, reads) for _ in range(READERS)]
            over.wait(HELD_S)
            over.set()
            for thread in threads:
                thread.join()
        again = caller.post("/brews/new", offered)
    assert {status for _, status in writes} == {503}
    assert max(seconds for seconds, _ in writes) < PATIENCE_S + SLACK_S
    p99 = sorted(seconds for seconds, _ in reads)[int(len(reads) * 0.99)]
    print(f"\n{len(writes)} refused; {len(reads)} reads, p99 {p99 * 1000:.0f} ms")
    assert p99 < 1.0
    assert again == 303


def test_the_busy_page_has_what_was_typed_and_saves_it_by_one_tap(
    sqlite_config: Config, client: FlaskClient, journal: Database, make: Make
) -> None:
    """C7: 503 within five seconds, with Retry-After and the form."""
    make.brew()
    typed = page.filled(client.get("/brews/new").text, holding="entry_key", note="plum & <tea>")
    with held(sqlite_config):
        began = monotonic()
        refused = client.post("/brews/new", data=typed)
        took = monotonic() - began
    assert BUSY_S - 1 < took < BUSY_S + SLACK_S
    assert refused.status_code == 503
    assert int(refused.headers["Retry-After"]) > 0
    says = page.text(refused.text)
    assert "The journal is busy" in says
    assert "Nothing of this was saved." in says
    carried = page.form(refused.text, holding="entry_key")
    assert carried == {name: values for name, values in typed.items() if values}
    assert client.post("/brews/new", data=carried).status_code == 303
    assert client.post("/brews/new", data=carried).status_code == 303
    assert "plum &amp; &lt;tea&gt;" in client.get("/brews/2").text
    assert client.get("/brews/3").status_code == 404


def test_a_paired_phone_reads_on_while_the_journal_is_busy(
    sqlite_config: Config, app: Flask, client: FlaskClient
) -> None:
    """C7: noting when it was last seen waits for nobody and refuses no page."""
    app.config["LAN_ADDRESSES"] = ("192.168.1.20",)
    app.config["TRUSTED_HOSTS"] = ["127.0.0.1", "localhost", "192.168.1.20"]
    app.config["WTF_CSRF_ENABLED"] = True
    phone = Phone(app)
    assert phone.pair(new_code(client)).status_code == 303
    app.config["CLOCK"] = lambda: NOON + timedelta(hours=1)
    with held(sqlite_config):
        began = monotonic()
        assert phone.ask("/").status_code == 200
        assert monotonic() - began < 1.0


@pytest.mark.postgres
def test_a_locked_table_on_postgresql_is_answered_in_the_same_time(
    postgres_url: str, tmp_path: Any, open_app: Any
) -> None:
    """C7, on PostgreSQL."""
    config = Config(postgres_url, tmp_path, "for tests only")
    journal = Database(postgres_url)
    client = open_app(config, journal).test_client()
    other = create_engine(postgres_url)
    with other.connect() as holder:
        holder.execute(text("LOCK TABLE question IN ACCESS EXCLUSIVE MODE"))
        began = monotonic()
        refused = client.post("/questions/new", data={"text": "Finer?", "factor": ""})
        assert monotonic() - began < BUSY_S + SLACK_S
        holder.rollback()
    other.dispose()
    assert refused.status_code == 503
    assert "The journal is busy" in page.text(refused.text)
    assert client.post("/questions/new", data={"text": "Finer?", "factor": ""}).status_code == 303
    journal.dispose()


def test_only_some_wait_while_nobody_gets_to_write() -> None:
    turns = Turns(at_once=1)
    with turns.take():
        began = monotonic()
        refused: list[float] = []

        def wait() -> None:
            try:
                with turns.take(3):
                    pass
            except JournalBusy:
                refused.append(monotonic() - began)

        threads = [Thread(target=wait) for _ in range(7)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    assert [seconds < 3 * STUCK + 0.5 for seconds in sorted(refused)] == [True] * (
        8 - MOST_WHILE_STUCK
    ) + [False] * (MOST_WHILE_STUCK - 1)


def test_while_writing_goes_on_everybody_gets_a_turn() -> None:
    turns = Turns(at_once=1)
    done: list[int] = []

    def write(number: int) -> None:
        with turns.take():
            turns.note_success()
            Event().wait(0.1)
            done.append(number)

    threads = [Thread(target=write, args=(number,)) for number in range(20)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(done) == list(range(20))
