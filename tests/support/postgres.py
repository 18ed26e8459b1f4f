"""A PostgreSQL server of the tests' own: in a folder in /tmp, reached by its socket only."""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path

from sqlalchemy import create_engine, make_url, text

NUMBERS = count(1)
QUICK = "-c fsync=off -c synchronous_commit=off -c full_page_writes=off -c listen_addresses="


def programs() -> Path | None:
    """The folder with initdb and pg_ctl; none where the server is not installed."""
    folders = sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    on_path = shutil.which("initdb")
    if on_path:
        folders.append(Path(on_path).parent)
    return next((folder for folder in folders if (folder / "initdb").exists()), None)


@contextmanager
def private_server() -> Iterator[str]:
    """Start a server, give its address, and remove it with its folder."""
    folder = programs()
    if folder is None:
        raise RuntimeError("PostgreSQL's server is not installed on this machine.")
    home = Path(tempfile.mkdtemp(prefix="oddcup-pg-", dir="/tmp"))
    user = _unprivileged()
    if user:
        shutil.chown(home, user)
    data = home / "data"
    _run(user, folder / "initdb", "-D", data, "-U", "oddcup", "-A", "trust", "-E", "UTF8",
         "--locale=C.UTF-8", "--no-sync")  # fmt: skip
    options = f"{QUICK} -c unix_socket_directories={home}"
    _run(user, folder / "pg_ctl", "-D", data, "-w", "-l", home / "log", "-o", options, "start")
    try:
        yield f"postgresql+psycopg://oddcup@/postgres?host={home}"
    finally:
        _run(user, folder / "pg_ctl", "-D", data, "-m", "immediate", "stop")
        shutil.rmtree(home, ignore_errors=True)


def _unprivileged() -> str | None:
    """The server refuses to run as root: the user to run it as then."""
    if os.geteuid() != 0:
        return None
    known = {entry.pw_name for entry in pwd.getpwall()}
    return "postgres" if "postgres" in known else "nobody"


def _run(user: str | None, *command: object) -> None:
    words = [str(word) for word in command]
    if user:
        words = ["runuser", "-u", user, "--", *words]
    done = subprocess.run(
        words, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, cwd="/", check=False
    )
    if done.returncode:
        raise RuntimeError(f"{command[0]} failed: {done.stderr}")


@contextmanager
def database(server: str, template: str = "template0") -> Iterator[str]:
    """A new database on the server, its address, and its end."""
    name = f"oddcup_{os.getpid()}_{next(NUMBERS)}"
    _statement(server, f'CREATE DATABASE "{name}" TEMPLATE "{template}"')
    try:
        yield make_url(server).set(database=name).render_as_string(hide_password=False)
    finally:
        _statement(server, f'DROP DATABASE "{name}" WITH (FORCE)')


def _statement(server: str, statement: str) -> None:
    engine = create_engine(server, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.execute(text(statement))
    engine.dispose()
