"""Engines and sessions: who may read, who may write, and when a transaction begins.

The stock SQLite driver begins transactions late and loses updates in silence, so the
BEGIN is ours: deferred and read-only for reading, IMMEDIATE for writing.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

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
        self.worked_out: dict[str, tuple[int, Any]] = {}

    def read_session(self) -> Session:
        """A session that cannot write, and knows the version it began at."""
        info = {"database": self, "version": self.version}
        return Session(self.reader, expire_on_commit=False, info=info)

    def write_session(self) -> Session:
        """A session that takes the write lock as it begins."""
        return Session(self.writer, expire_on_commit=False)

    def dispose(self) -> None:
        self.engine.dispose()


def while_unchanged(session: Session, name: str, work: Callable[[], T]) -> T:
    """What `work` gave, done anew only after the journal was written to.

    Only a session of `read_session` knows which version it sees; for others it is always done.
    """
    db: Database | None = session.info.get("database")
    if db is None:
        return work()
    version: int = session.info["version"]
    kept = db.worked_out.get(name)
    if kept is None or kept[0] != version:
        kept = db.worked_out[name] = (version, work())
    result: T = kept[1]
    return result


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
