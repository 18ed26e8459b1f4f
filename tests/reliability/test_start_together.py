"""Servers that start in the same second: one brings the journal up to date, the others wait."""

from __future__ import annotations

import os
import subprocess
import sys
from contextlib import ExitStack
from pathlib import Path

import pytest
from sqlalchemy import create_engine, inspect, text

from app.backups.checks import find_damage
from app.config import Config, sqlite_url
from app.schema import head, upgrade
from tests.migrations.snapshot import PAST, load
from tests.support import postgres
from tests.support.caller import Caller
from tests.support.server import ROOT, port_of_our_own
from tests.support.serving import OPEN, command

SERVERS = 4
APP = """
import sys
from pathlib import Path
from app import create_app
from app.config import Config
from app.schema import bring_up_to_date

config = Config(url=sys.argv[1], home=Path(sys.argv[2]), secret_key="for tests only")
sys.stdin.readline()
bring_up_to_date(config)
print(create_app(config).test_client().get("/").status_code)
"""


@pytest.fixture(params=["empty", "old"])
def journal(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    path = tmp_path / "journal.db"
    if request.param == "old":
        load(PAST / "0001.sql", path)
    return path


def test_of_four_servers_on_one_file_one_serves_and_the_others_say_so(journal: Path) -> None:
    """Point 5 of the issue: never a traceback."""
    port = port_of_our_own()
    servers = [command(journal, "serve", "--port", port + each) for each in range(SERVERS)]
    with ExitStack() as stack:
        for server in servers:
            stack.enter_context(server)
            stack.callback(server.kill)
        said = [_opened(server) for server in servers]
        refused = [errors for is_open, errors in said if not is_open]
        assert len(refused) == SERVERS - 1
        for errors in refused:
            assert errors.startswith(f"oddcup: {journal} is open already")
            assert errors.count("\n") == 1
    assert find_damage(Config(url=sqlite_url(journal), home=journal.parent, secret_key="")) == []


def _opened(server: subprocess.Popen[str]) -> tuple[bool, str]:
    assert server.stdout
    while line := server.stdout.readline():
        if OPEN in line:
            return True, ""
    return False, server.communicate(timeout=60)[1]


def test_of_four_apps_on_one_file_all_work(journal: Path) -> None:
    """Without the command's lock: one migrates, the others find it done; one backup is taken."""
    is_new = not journal.exists()
    _all_work(sqlite_url(journal), journal.parent)
    backups = list((journal.parent / "backups").glob("*.db"))
    assert len(backups) == (0 if is_new else 1)
    assert find_damage(Config(url=sqlite_url(journal), home=journal.parent, secret_key="")) == []


@pytest.mark.postgres
@pytest.mark.parametrize("revision", [None, "0003"])
def test_of_four_apps_on_postgresql_all_work(
    revision: str | None, postgres_server: str, tmp_path: Path
) -> None:
    """The second one used to die with a traceback."""
    with postgres.database(postgres_server) as url:
        if revision:
            upgrade(url, revision)
        _all_work(url, tmp_path)
        engine = create_engine(url)
        with engine.connect() as connection:
            found = connection.execute(text("SELECT version_num FROM alembic_version")).scalars()
            assert found.all() == [head()]
            assert "brew" in inspect(connection).get_table_names()
        engine.dispose()


@pytest.mark.postgres
@pytest.mark.parametrize("revision", [None, "0003"])
def test_of_four_servers_on_postgresql_all_serve(
    revision: str | None, postgres_server: str, tmp_path: Path
) -> None:
    """Point 5: each at its own port, with one key for the forms of all."""
    port = port_of_our_own()
    with postgres.database(postgres_server) as url, ExitStack() as stack:
        if revision:
            upgrade(url, revision)
        there = os.environ | {"ODDCUP_DATABASE_URL": url, "XDG_DATA_HOME": str(tmp_path)}
        servers = []
        for each in range(SERVERS):
            words = [sys.executable, "-m", "app", "serve", "--port", str(port + each)]
            server = subprocess.Popen(
                words,
                cwd=ROOT,
                env=there,
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                text=True,
            )
            servers.append(stack.enter_context(server))
            stack.callback(server.kill)
        assert [_opened(server) for server in servers] == [(True, "")] * SERVERS
        for each in range(SERVERS):
            assert "Oddcup" in Caller(f"http://127.0.0.1:{port + each}").get("/")
        assert len((tmp_path / "oddcup" / "secret.key").read_text()) == 64


def _all_work(url: str, home: Path) -> None:
    with ExitStack() as stack:
        apps = []
        for _ in range(SERVERS):
            app = subprocess.Popen(
                [sys.executable, "-c", APP, url, str(home)],
                cwd=ROOT,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                text=True,
            )
            apps.append(stack.enter_context(app))
            stack.callback(app.kill)
        for app in apps:
            assert app.stdin
            app.stdin.write("\n")
            app.stdin.flush()
        said = [app.communicate(timeout=120) for app in apps]
    assert [errors for _, errors in said if errors] == []
    assert [answer.strip() for answer, _ in said] == ["200"] * SERVERS
