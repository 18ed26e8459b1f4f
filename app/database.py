"""Engines and sessions: who may read, who may write, and when a transaction begins.

The stock SQLite driver begins transactions late and loses updates in silence, so the
BEGIN is ours: deferred and read-only for reading, IMMEDIATE for writing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, TypeVar

from flask import current_app, g
from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.orm import Session

BUSY_TIMEOUT_MS = 5000

T = TypeVar("T")


class Database:
    """One pool with two faces: `reader` cannot write, `writer` takes the lock at once.

    `version` counts this server's writes; what was worked out from the journal is kept until
    the next one.
    """

    def __init__(self, url: str) -> None:
        self.engine = _engine(url)
        self.reader = self.engine.execution_options(oddcup_reads=True, postgresql_readonly=True)
        self.writer = self.engine.execution_options(oddcup_reads=False)
        self.version = 0
        self._worked_out: dict[str, tuple[int, Any]] = {}

    def while_unchanged(self, session: Session, name: str, work: Callable[[], T]) -> T:
        """What `work` gave, done anew only after the journal was written to."""
        # The version the session began at: it must not pass off an older state as this one.
        version = session.info.get("version", -1)
        kept = self._worked_out.get(name)
        if kept is None or kept[0] != version or version < 0:
            kept = self._worked_out[name] = (version, work())
        result: T = kept[1]
        return result

    def dispose(self) -> None:
        self.engine.dispose()


def _engine(url: str) -> Engine:
    if not url.startswith("sqlite"):
        return create_engine(url)
    engine = create_engine(url, connect_args={"timeout": BUSY_TIMEOUT_MS / 1000})
    event.listen(engine, "connect", _set_pragmas)
    event.listen(engine, "begin", _begin)
    return engine


def _set_pragmas(dbapi_connection: Any, _record: object) -> None:
    dbapi_connection.isolation_level = None
    for pragma in (
        "journal_mode = WAL",
        "synchronous = FULL",
        "foreign_keys = ON",
        f"busy_timeout = {BUSY_TIMEOUT_MS}",
    ):
        dbapi_connection.execute(f"PRAGMA {pragma}")


def _begin(connection: Connection) -> None:
    reads = connection.get_execution_options().get("oddcup_reads", False)
    driver: Any = connection.connection.dbapi_connection
    driver.execute(f"PRAGMA query_only = {'ON' if reads else 'OFF'}")
    driver.execute("BEGIN" if reads else "BEGIN IMMEDIATE")


def database() -> Database:
    db: Database = current_app.extensions["oddcup_database"]
    return db


def reading() -> Session:
    """This request's session for reading; it cannot write, and closes with the request."""
    if "reading_session" not in g:
        db = database()
        info = {"version": db.version}
        g.reading_session = Session(db.reader, expire_on_commit=False, info=info)
    session: Session = g.reading_session
    return session


@contextmanager
def writing() -> Iterator[Session]:
    """One short writing transaction: on disk when the block ends, undone if it raises."""
    close_reading()
    with Session(database().writer, expire_on_commit=False) as session, session.begin():
        yield session
    database().version += 1


def close_reading(_error: BaseException | None = None) -> None:
    session: Session | None = g.pop("reading_session", None)
    if session is not None:
        session.close()
