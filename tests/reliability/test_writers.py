"""Fifty people press "save" at once: nobody sees an error and nothing is lost."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from typing import Any
from uuid import uuid4

import pytest
from flask import Flask
from sqlalchemy import event, func, select
from sqlalchemy.orm import Session

from app.config import Config
from app.database import Database
from app.models import Brew, Filter, FilterUse
from tests.support.caller import Caller
from tests.support.factories import Make
from tests.support.page import Values
from tests.support.server import served

WRITERS = 50


@pytest.fixture
def address(app: Flask) -> Iterator[str]:
    app.config["WTF_CSRF_ENABLED"] = True
    with served(app) as url:
        yield url


def at_once(times: int, act: Callable[[int], Any]) -> list[Any]:
    """Threads that wait for each other and then act together."""
    start = Barrier(times)

    def one(number: int) -> Any:
        start.wait()
        return act(number)

    with ThreadPoolExecutor(times) as pool:
        return list(pool.map(one, range(times)))


def _count(journal: Database, what: Any) -> int:
    with Session(journal.reader) as session:
        return session.scalar(select(func.count()).select_from(what)) or 0


def _offered(address: str, make: Make) -> tuple[Caller, Values]:
    make.brew(filters=[make.filter()])
    caller = Caller(address)
    return caller, caller.brew_form()


def test_fifty_brews_saved_at_once_are_all_there(
    address: str, make: Make, journal: Database
) -> None:
    caller, offered = _offered(address, make)

    def save(_number: int) -> int:
        return caller.post("/brews/new", offered | {"entry_key": [str(uuid4())]})

    assert at_once(WRITERS, save) == [303] * WRITERS
    assert _count(journal, Brew) == _count(journal, FilterUse) == WRITERS + 1


def test_fifty_fresh_papers_taken_at_once_are_fifty_papers(
    address: str, make: Make, journal: Database
) -> None:
    caller, offered = _offered(address, make)
    with Session(journal.reader) as session:
        pack_id = session.scalars(select(Filter.pack_id)).one()

    def save(_number: int) -> int:
        fresh = {"entry_key": [str(uuid4())], "filter_1": [f"fresh:{pack_id}"]}
        return caller.post("/brews/new", offered | fresh)

    assert at_once(WRITERS, save) == [303] * WRITERS
    with Session(journal.reader) as session:
        numbers = session.scalars(select(Filter.number).order_by(Filter.number)).all()
        uses = session.execute(
            select(func.count()).group_by(FilterUse.filter_id).select_from(FilterUse)
        )
        assert list(numbers) == list(range(1, WRITERS + 2))
        assert {row[0] for row in uses} == {1}


def test_one_form_sent_by_ten_impatient_taps_is_one_brew(
    address: str, make: Make, journal: Database
) -> None:
    caller, offered = _offered(address, make)
    answers = at_once(10, lambda _number: caller.post("/brews/new", offered))
    assert answers == [303] * 10
    assert _count(journal, Brew) == 2


def _be_patient(connection: Any, _record: Any) -> None:
    """Eight threads without a pause may keep one of them from the lock for long."""
    connection.execute("PRAGMA busy_timeout = 60000")


def test_no_update_is_lost_between_reading_and_writing(sqlite_config: Config) -> None:
    """Read, add one, write, from eight threads; SQLite's usual driver mode loses most of them."""
    journal = Database(sqlite_config.url)
    event.listen(journal.engine, "connect", _be_patient)
    paper = Make(journal).filter()

    def add_25(_number: int) -> None:
        for _ in range(25):
            with Session(journal.writer) as session, session.begin():
                row = session.get_one(Filter, paper.id)
                row.prior_uses += 1

    at_once(8, add_25)
    with Session(journal.reader) as session:
        assert session.get_one(Filter, paper.id).prior_uses == 200
    journal.dispose()
