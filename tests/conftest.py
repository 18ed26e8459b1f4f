"""What every test may ask for: a journal of its own, the app on it, rows, the clock."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import HealthCheck, settings
from sqlalchemy import event, make_url

# The tests run against this source tree, however pytest was started.
sys.path.insert(0, str(Path(__file__).parent.parent))

from app.config import Config
from app.database import ONE_WRITER, SNAPSHOT, Database
from app.schema import upgrade
from tests.support import postgres
from tests.support.apps import OpenApp, OpenJournal, SharedApp, SharedDatabase
from tests.support.clock import moment
from tests.support.factories import Make

# A busy machine must not fail a test for being slow: speed is measured elsewhere.
settings.register_profile(
    "without a deadline", deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("without a deadline")

LOCK = ONE_WRITER.text.partition(":")[0]
SERVER = os.environ.get("ODDCUP_TEST_POSTGRES", "")
ON_THE_SERVER = {"config", "shared_config", "on_either", "postgres_server", "postgres_url"}


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """On PostgreSQL only what can meet the server: the rest would do what it does without."""
    if not SERVER:
        return
    left = [item for item in items if not _meets_the_server(item)]
    if left:
        config.hook.pytest_deselected(items=left)
        items[:] = [item for item in items if _meets_the_server(item)]


def _meets_the_server(item: pytest.Item) -> bool:
    used = set(getattr(item, "fixturenames", ()))
    return item.get_closest_marker("postgres") is not None or not used.isdisjoint(ON_THE_SERVER)


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty journal, migrated once; tests copy it."""
    path = tmp_path_factory.mktemp("template") / "journal.db"
    upgrade(f"sqlite:///{path}")
    return path


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[str]:
    """The server in ODDCUP_TEST_POSTGRES, else a private one, else the test is skipped."""
    if SERVER and SERVER != "private":
        yield SERVER
        return
    if postgres.programs() is None:
        missing = "PostgreSQL's server is not installed on this machine"
        pytest.fail(missing) if SERVER else pytest.skip(missing)
    with postgres.private_server() as address:
        yield address


@pytest.fixture(scope="session")
def postgres_template(postgres_server: str) -> Iterator[str]:
    """The name of an empty journal on the server, migrated once."""
    with postgres.database(postgres_server) as address:
        upgrade(address)
        yield str(make_url(address).database)


@pytest.fixture
def postgres_url(postgres_server: str, postgres_template: str) -> Iterator[str]:
    """The address of a fresh journal on PostgreSQL."""
    with postgres.database(postgres_server, postgres_template) as address:
        yield address


@pytest.fixture
def sqlite_config(sqlite_template: Path, tmp_path: Path) -> Config:
    """A fresh journal in a file, whatever server the tests run on."""
    path = tmp_path / "journal.db"
    shutil.copyfile(sqlite_template, path)
    return Config(url=f"sqlite:///{path}", home=tmp_path, secret_key="for tests only")  # noqa: S106


@pytest.fixture
def config(request: pytest.FixtureRequest, tmp_path: Path) -> Config:
    """A fresh journal: a SQLite file, or a PostgreSQL database if ODDCUP_TEST_POSTGRES is set."""
    if not SERVER:
        file: Config = request.getfixturevalue("sqlite_config")
        return file
    address = request.getfixturevalue("postgres_url")
    return Config(url=address, home=tmp_path, secret_key="for tests only")  # noqa: S106


@pytest.fixture(scope="module")
def shared_config(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Config]:
    """One journal for a whole module, for tests that send it hundreds of things."""
    home = tmp_path_factory.mktemp("shared")
    with ExitStack() as stack:
        if SERVER:
            server = request.getfixturevalue("postgres_server")
            template = request.getfixturevalue("postgres_template")
            url = stack.enter_context(postgres.database(server, template))
        else:
            shutil.copyfile(request.getfixturevalue("sqlite_template"), home / "journal.db")
            url = f"sqlite:///{home / 'journal.db'}"
        yield Config(url=url, home=home, secret_key="for tests only")  # noqa: S106


@pytest.fixture(scope="session")
def shared_databases() -> list[SharedDatabase]:
    """Those that no test is using."""
    return []


@pytest.fixture
def open_journal(shared_databases: list[SharedDatabase]) -> Iterator[OpenJournal]:
    """A database on the journal, another one with each call, closed after the test."""
    used: list[SharedDatabase] = []
    with ExitStack() as stack:

        def opened(config: Config) -> Database:
            if config.sqlite_path is None:
                own = Database(config.url)
                stack.callback(own.dispose)
                return own
            used.append(shared_databases.pop() if shared_databases else SharedDatabase())
            return used[-1].open(config.sqlite_path)

        yield opened
    for each in reversed(used):
        each.close()
        shared_databases.append(each)


@pytest.fixture
def journal(config: Config, open_journal: OpenJournal) -> Database:
    """This test's journal; where it must last, see tests/reliability/conftest.py."""
    return open_journal(config)


@pytest.fixture(scope="session")
def run_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One folder for all the processes of this run of the tests."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


@pytest.fixture(scope="session")
def shared_apps() -> list[SharedApp]:
    """Those that no test is using."""
    return []


@pytest.fixture
def open_app(shared_apps: list[SharedApp], run_folder: Path) -> Iterator[OpenApp]:
    """Another app with each call, at noon of one September day, with CSRF off."""
    used: list[SharedApp] = []

    def opened(config: Config, journal: Database) -> Flask:
        used.append(shared_apps.pop() if shared_apps else SharedApp(run_folder / "pages"))
        return used[-1].open(config, journal)

    yield opened
    shared_apps.extend(reversed(used))


@pytest.fixture
def app(config: Config, journal: Database, open_app: OpenApp) -> Flask:
    """The app on this test's journal."""
    return open_app(config, journal)


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    return app.test_client()


@pytest.fixture
def make(journal: Database) -> Make:
    return Make(journal)


@pytest.fixture
def freeze(app: Flask) -> Callable[[datetime | str], None]:
    """Put the app's clock at a moment: `freeze("2026-03-05T07:30")` is in UTC."""

    def put(at: datetime | str) -> None:
        stopped = moment(at)
        app.config["CLOCK"] = lambda: stopped

    return put


@pytest.fixture
def statements(journal: Database) -> Callable[[], AbstractContextManager[list[str]]]:
    """Count what the app asks of the database: `with statements() as seen: ...`.

    Which state the journal is in, and the lock of a writer, are left out: PostgreSQL is asked for
    them by a statement, and SQLite is not.
    """

    @contextmanager
    def watch() -> Iterator[list[str]]:
        seen: list[str] = []

        def note(_c: Any, _cursor: Any, statement: str, *_rest: Any) -> None:
            if statement != SNAPSHOT.text and not statement.startswith(LOCK):
                seen.append(statement)

        with ExitStack() as stack:
            event.listen(journal.engine, "before_cursor_execute", note)
            stack.callback(event.remove, journal.engine, "before_cursor_execute", note)
            yield seen

    return watch
