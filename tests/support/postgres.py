"""A PostgreSQL server of the tests' own: in a folder in memory where there is room, else in /tmp,
reached by its socket only.

A database for each test is hundreds of files: on a disk that took 0.4 s a test, in memory 0.02 s.
"""

from __future__ import annotations

import atexit
import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from itertools import count
from pathlib import Path
from typing import LiteralString

import psycopg
from psycopg import sql
from sqlalchemy import make_url

NUMBERS = count(1)
MEMORY = Path("/dev/shm")  # noqa: S108
ROOM = 2 * 1024**3  # bytes
QUICK = (
    "-c fsync=off -c synchronous_commit=off -c full_page_writes=off -c listen_addresses= "
    "-c wal_level=minimal -c max_wal_senders=0 -c max_wal_size=256MB -c autovacuum_naptime=1h "
    "-c dynamic_shared_memory_type=mmap"
)


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
    in_memory = MEMORY.is_dir() and shutil.disk_usage(MEMORY).free > ROOM
    home = Path(tempfile.mkdtemp(prefix="oddcup-pg-", dir=MEMORY if in_memory else "/tmp"))  # noqa: S108
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
    # Copying files wants no log of every page, which a template of ten megabytes would fill.
    _statement(server, "CREATE DATABASE {} TEMPLATE {} STRATEGY FILE_COPY", name, template)
    try:
        yield make_url(server).set(database=name).render_as_string(hide_password=False)
    finally:
        _statement(server, "DROP DATABASE {} WITH (FORCE)", name)


def _statement(server: str, statement: LiteralString, *names: str) -> None:
    _connection(server).execute(sql.SQL(statement).format(*map(sql.Identifier, names)))


@cache
def _connection(server: str) -> psycopg.Connection:
    """One for the whole run: a new one for each statement took longer than most of them."""
    plain = make_url(server).set(drivername="postgresql").render_as_string(hide_password=False)
    connection = psycopg.connect(plain, autocommit=True)
    atexit.register(connection.close)
    return connection
