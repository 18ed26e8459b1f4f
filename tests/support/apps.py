"""Apps and databases that a process makes once, and that tests use in turn."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from flask import Flask
from sqlalchemy import event

from app import open_journal, wire
from app.config import Config
from app.database import Database
from tests.support.clock import NOON

OpenApp = Callable[[Config, Database], Flask]
OpenJournal = Callable[[Config], Database]


class SharedApp:
    """Keeps its routes and compiled templates; everything else is as new for each test.

    Flask refuses further wiring once an app has answered, so no test can add to it unseen.
    """

    def __init__(self, pages: Path) -> None:
        app = self._app = wire(pages)
        env = app.jinja_env
        kept = (app.config, app.extensions, env.globals, env.filters, env.tests)
        self._as_made = [(live, dict(live)) for live in kept]
        self.open(Config("sqlite://", pages, secret_key=""), Database("sqlite://"))
        app.test_client().get("/static/css/tokens.css").close()

    def open(self, config: Config, journal: Database) -> Flask:
        """The app on this journal, at noon of one September day, with CSRF off."""
        for live, as_made in self._as_made:
            live.clear()
            live.update(as_made)
        open_journal(self._app, config)
        self._app.extensions["oddcup_database"] = journal
        self._app.config.update(
            TESTING=True, WTF_CSRF_ENABLED=False, ZONE="UTC", CLOCK=lambda: NOON
        )
        return self._app


class SharedDatabase:
    """Keeps its compiled statements; each test gives it a journal file of its own.

    It does not wait for the disk: a power cut would lose its journal, a killed program does not.
    """

    def __init__(self) -> None:
        self._path = ""
        self._database = Database("sqlite:///the file of each test")
        event.listen(self._database.engine, "do_connect", self._name_file)
        event.listen(self._database.engine, "connect", _do_not_wait)

    def open(self, path: Path) -> Database:
        self._path = str(path)
        return self._database

    def close(self) -> None:
        self._database.dispose()

    def _name_file(self, _dialect: Any, _record: Any, arguments: list[Any], _named: Any) -> None:
        arguments[0] = self._path


def _do_not_wait(connection: Any, _record: Any) -> None:
    connection.execute("PRAGMA synchronous = OFF")
