"""How often a page asks the database does not grow with the rows it shows."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager

from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.orm import Session

from app.database import Database
from tests.support.addresses import pages
from tests.support.factories import Make
from tests.support.household import furnish

SHORT = 16
Watch = Callable[[], AbstractContextManager[list[str]]]


def test_a_page_asks_no_more_often_of_a_longer_journal(
    app: Flask, client: FlaskClient, make: Make, journal: Database, statements: Watch
) -> None:
    """Short: more rows than a picker offers, so that no page is spared a question."""
    _households(make, SHORT)
    with Session(journal.reader) as session:
        addresses = pages(app, session)
    few = {path: _asked(client, path, statements) for path in addresses.values()}
    _households(make, SHORT)
    furnish(make, brews=30)
    many = {path: _asked(client, path, statements) for path in few}
    assert {path: (few[path], many[path]) for path in few if many[path] > few[path]} == {}


def _households(make: Make, number: int) -> None:
    for _ in range(number):
        furnish(make, brews=2)


def _asked(client: FlaskClient, path: str, statements: Watch) -> int:
    client.get(path)  # what a page works out once (and keeps) is not counted
    with statements() as seen:
        client.get(path)
    return len(seen)
