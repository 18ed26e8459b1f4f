"""An engine whose transactions begin as `app/database` says, on SQLite and on PostgreSQL."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DBAPIError

from app.file.refused import BUSY_S

BUSY_TIMEOUT_MS = round(BUSY_S * 1000)
# PostgreSQL: no page waits longer for a lock, and none computes longer.
LOCK_TIMEOUT = f"SET lock_timeout = {BUSY_TIMEOUT_MS}"
STATEMENT_TIMEOUT = "SET statement_timeout = 30000"
# Kept open, so that none of the server's threads has to open one anew for each page.
CONNECTIONS = 24
# On a connection that cannot write: SQLite also reads a file that was cut short.
READ_ON = "PRAGMA writable_schema = ON"


def make_engine(url: str) -> Engine:
    if not url.startswith("sqlite"):
        engine = create_engine(url, pool_size=CONNECTIONS)
        event.listen(engine, "connect", _set_timeouts)
        return engine
    engine = create_engine(url, pool_size=CONNECTIONS, connect_args={"timeout": BUSY_S})
    event.listen(engine, "connect", _set_pragmas)
    event.listen(engine, "begin", _begin)
    return engine


def _set_timeouts(driver: Any, _record: object) -> None:
    driver.execute(LOCK_TIMEOUT)
    driver.execute(STATEMENT_TIMEOUT)
    driver.commit()


def _set_pragmas(driver: sqlite3.Connection, _record: object) -> None:
    driver.isolation_level = None
    if driver.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
        _begin_log(driver)
    for pragma in ("synchronous = FULL", "foreign_keys = ON", f"busy_timeout = {BUSY_TIMEOUT_MS}"):
        driver.execute(f"PRAGMA {pragma}")


def _begin_log(driver: sqlite3.Connection) -> None:
    try:
        driver.execute("PRAGMA journal_mode = WAL")
    except sqlite3.OperationalError as error:
        if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_READONLY:
            raise  # else it can be read all the same


def _begin(connection: Connection) -> None:
    options = connection.get_execution_options()
    driver: Any = connection.connection.dbapi_connection
    if options.get("oddcup_reads", False):
        with as_ours("BEGIN"):
            driver.execute("PRAGMA query_only = ON")
            driver.execute("BEGIN")
        return
    patience_s = options.get("oddcup_patience_s")
    with as_ours("BEGIN IMMEDIATE"):
        driver.execute("PRAGMA query_only = OFF")
        if patience_s is None:
            driver.execute("BEGIN IMMEDIATE")
            return
        driver.execute(f"PRAGMA busy_timeout = {round(patience_s * 1000)}")
        try:
            driver.execute("BEGIN IMMEDIATE")
        finally:
            driver.execute(f"PRAGMA busy_timeout = {BUSY_TIMEOUT_MS}")


@contextmanager
def as_ours(statement: str) -> Iterator[None]:
    """What SQLite raises on a statement of our own looks as on one of SQLAlchemy's."""
    try:
        yield
    except sqlite3.Error as error:
        raise DBAPIError.instance(statement, None, error, sqlite3.Error) from error
