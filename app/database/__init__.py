"""Engines and sessions: who may read, who may write, and when a transaction begins.

Python's SQLite driver begins transactions late, so that updates can be lost without an error. We
therefore send BEGIN ourselves: deferred and read-only for reading, IMMEDIATE for writing.
"""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import RLock
from typing import Any, TypeVar

from sqlalchemy import Connection, PoolProxiedConnection, event, text
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import Session

from app.database.engines import READ_ON, as_ours, make_engine
from app.database.turns import Turns
from app.file.opened import OpenFile, copy_into
from app.file.refused import BUSY_S, JournalDamaged, JournalMoved

# Which transactions a PostgreSQL session sees: two equal snapshots see the same rows.
SNAPSHOT = text("SELECT pg_current_snapshot()::text")
# One writer at a time among all processes, as SQLite has it: what a transaction reads before it
# writes is then still so. The lock ends with the transaction.
ONE_WRITER = text(
    "SELECT set_config('lock_timeout', :patience_ms, true), pg_advisory_xact_lock(:key)"
)
WRITERS_KEY = 0x0DDC0C  # of PostgreSQL's lock, any number that no other program takes

T = TypeVar("T")


class Database:
    """One connection pool, used in two ways: `reader` cannot write, `writer` locks at once."""

    def __init__(self, url: str) -> None:
        self.engine = make_engine(url)
        self.damaged = False
        self.patience_s = BUSY_S
        self._how = ""
        self._turns = Turns(1)  # one writer of this process at a time
        self.reader = self.engine.execution_options(oddcup_reads=True, postgresql_readonly=True)
        self.writer = self.engine.execution_options(oddcup_reads=False)
        self.cache: dict[str, tuple[object, Any]] = {}
        self._watch: PoolProxiedConnection | None = None
        self._watching = RLock()
        self.mark: int | None = None  # of the file, where a lock sees to it
        self.file: OpenFile | None = None
        self._kept: Path | None = None
        if self._is_file:
            event.listen(self.engine, "do_connect", self._before_connecting)
            event.listen(self.engine, "connect", self._note_file, insert=True)
            event.listen(self.engine, "begin", self._before_writing)
            event.listen(self.engine, "commit", self._before_writing)

    def read_session(self) -> Session:
        """A session that cannot write, and knows which state of the journal it began at."""
        self._check_place()
        session = Session(self.reader, expire_on_commit=False, info={"database": self})
        session.info["state"] = self._state(session)
        return session

    def write_session(self) -> Session:
        """A session that takes the write lock as it begins."""
        return Session(self.writer, expire_on_commit=False)

    @contextmanager
    def writing(self, patience_s: float | None = None) -> Iterator[Session]:
        """One transaction with the write lock, committed when the block ends.

        Raises JournalRefused or DBAPIError if the lock cannot be had in that time.
        """
        if self.damaged:
            raise JournalDamaged
        with (
            self._turns.take(self.patience_s if patience_s is None else patience_s) as left_s,
            self.write_session() as session,
            session.begin(),
        ):
            session.connection(execution_options={"oddcup_patience_s": left_s})
            if not self._is_file:
                patience_ms = str(max(round(left_s * 1000), 1))  # 0 would be for ever
                session.execute(ONE_WRITER, {"patience_ms": patience_ms, "key": WRITERS_KEY})
            self._turns.note_success()
            try:
                yield session
            except DBAPIError:
                raise
            except Exception:
                self._turns.note_success()  # refused in words, as a clash is: nothing was stuck
                raise
        self._turns.note_success()

    def only_read(self, *, log: bool = True) -> None:
        """Open a damaged journal anew so that nothing can change it; without its log, if that is
        what is damaged."""
        self.damaged = True
        self._how = "mode=ro" if log else "immutable=1"
        self.dispose()

    @property
    def _is_file(self) -> bool:
        return self.engine.dialect.name == "sqlite"

    def _state(self, session: Session) -> object:
        """A value that changes with every commit, whichever process made it.

        It is read before the session reads anything else. So the session may see newer data than
        its state says, which costs a needless recalculation, but never older data.
        """
        if self._is_file:
            return self._data_version()
        return session.scalar(SNAPSHOT)

    def _data_version(self) -> int:
        """SQLite counts for each connection what all others commit. This one never writes, so its
        count includes every commit."""
        with self._watching, as_ours("PRAGMA data_version"):
            if self._watch is None:
                self._watch = self.engine.raw_connection()
                self._watch.detach()
            driver: Any = self._watch.dbapi_connection
            version: int = driver.execute("PRAGMA data_version").fetchone()[0]
            return version

    def _note_file(self, driver: sqlite3.Connection, _record: object) -> None:
        if self.damaged:
            driver.execute(READ_ON)
            return
        path = driver.execute("PRAGMA database_list").fetchone()[2]
        if path and self.file is None:
            self.file = OpenFile(Path(path), self.mark)

    def _before_connecting(
        self, _dialect: object, _record: object, arguments: list[Any], named: dict[str, Any]
    ) -> None:
        """Two files under one log would destroy each other; a damaged one is opened to read it."""
        self._check_place()
        if self.damaged:
            arguments[0] = f"{Path(arguments[0]).resolve().as_uri()}?{self._how}"
            named["uri"] = True

    def _before_writing(self, connection: Connection) -> None:
        """Once the write lock is held, and again before the commit."""
        if connection.get_execution_options().get("oddcup_reads", False):
            return
        try:
            self._check_place()
        except BaseException:
            driver: Any = connection.connection.dbapi_connection
            driver.rollback()  # SQLAlchemy takes a failed commit for one that let go of the lock
            raise

    def _check_place(self) -> None:
        """Raises JournalMoved if the file at the journal's path is not the one that is open."""
        file = self.file
        if file is None or self.damaged:
            return
        if file.is_moved:
            raise JournalMoved(file.path, self._keep_copy(file.path.parent / "backups"))
        if file.is_overwritten:
            file.cut_log_off()
            raise JournalMoved(file.path, None)

    def _keep_copy(self, folder: Path) -> Path | None:
        """What the open file holds: if it was deleted, it is gone once it is closed."""
        with self._watching:
            if self._kept is None and self._watch is not None:
                source: Any = self._watch.dbapi_connection
                self._kept = copy_into(folder, source)
            return self._kept

    def dispose(self) -> None:
        if self.file is not None and self.file.is_overwritten:
            self.file.cut_log_off()
        with self._watching:
            if self._watch is not None:
                self._watch.close()
                self._watch = None
        self.cache.clear()
        self.engine.dispose()
        if self.file is not None:
            self.file.close()
            self.file = None


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
