"""Engines and sessions: who may read, who may write, and when a transaction begins.

Python's SQLite driver begins transactions late, so that updates can be lost without an error. We
therefore send BEGIN ourselves: deferred and read-only for reading, IMMEDIATE for writing.
"""

from collections.abc import Callable
from sqlite3 import Connection as SQLiteConnection
from threading import Lock
from typing import Any, TypeVar

from sqlalchemy import Connection, Engine, PoolProxiedConnection, create_engine, event, text
from sqlalchemy.orm import Session

BUSY_TIMEOUT_MS = 5000
# Which transactions a PostgreSQL session sees: two equal snapshots see the same rows.
SNAPSHOT = text("SELECT pg_current_snapshot()::text")

T = TypeVar("T")


class Database:
    """One connection pool, used in two ways: `reader` cannot write, `writer` locks at once."""

    def __init__(self, url: str) -> None:
        self.engine = _engine(url)
        self.reader = self.engine.execution_options(oddcup_reads=True, postgresql_readonly=True)
        self.writer = self.engine.execution_options(oddcup_reads=False)
        self.cache: dict[str, tuple[object, Any]] = {}
        self._watch: PoolProxiedConnection | None = None
        self._watching = Lock()

    def read_session(self) -> Session:
        """A session that cannot write, and knows which state of the journal it began at."""
        session = Session(self.reader, expire_on_commit=False, info={"database": self})
        session.info["state"] = self._state(session)
        return session

    def write_session(self) -> Session:
        """A session that takes the write lock as it begins."""
        return Session(self.writer, expire_on_commit=False)

    def _state(self, session: Session) -> object:
        """A value that changes with every commit, whichever process made it.

        It is read before the session reads anything else. So the session may see newer data than
        its state says, which costs a needless recalculation, but never older data.
        """
        if self.engine.dialect.name == "sqlite":
            return self._data_version()
        return session.scalar(SNAPSHOT)

    def _data_version(self) -> int:
        """SQLite counts for each connection what all others commit. This one never writes, so its
        count includes every commit."""
        with self._watching:
            if self._watch is None:
                self._watch = self.engine.raw_connection()
                self._watch.detach()
            driver: Any = self._watch.dbapi_connection
            version: int = driver.execute("PRAGMA data_version").fetchone()[0]
            return version

    def dispose(self) -> None:
        with self._watching:
            if self._watch is not None:
                self._watch.close()
                self._watch = None
        self.cache.clear()
        self.engine.dispose()


def while_unchanged(session: Session, name: str, work: Callable[[], T]) -> T:
    """The result of `work`, cached until this or another process has written to the journal.

    Only for a session from `read_session`; for any other the work is always done.
    """
    db: Database | None = session.info.get("database")
    if db is None:
        return work()
    state = session.info["state"]
    cached = db.cache.get(name)
    if cached is None or cached[0] != state:
        cached = db.cache[name] = (state, work())
    result: T = cached[1]
    return result


def _engine(url: str) -> Engine:
    if not url.startswith("sqlite"):
        return create_engine(url)
    engine = create_engine(url, connect_args={"timeout": BUSY_TIMEOUT_MS / 1000})
    event.listen(engine, "connect", _set_pragmas)
    event.listen(engine, "begin", _begin)
    return engine


def _set_pragmas(driver: SQLiteConnection, _record: object) -> None:
    driver.isolation_level = None
    for pragma in (
        "journal_mode = WAL",
        "synchronous = FULL",
        "foreign_keys = ON",
        f"busy_timeout = {BUSY_TIMEOUT_MS}",
    ):
        driver.execute(f"PRAGMA {pragma}")


def _begin(connection: Connection) -> None:
    reads = connection.get_execution_options().get("oddcup_reads", False)
    driver: Any = connection.connection.dbapi_connection
    driver.execute(f"PRAGMA query_only = {'ON' if reads else 'OFF'}")
    driver.execute("BEGIN" if reads else "BEGIN IMMEDIATE")
