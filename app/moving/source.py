"""The journal that is moved: read in one transaction, and changed in nothing."""

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection, text

from app.config import Config
from app.database.engines import make_engine
from app.file.hold import holding
from app.revisions import head
from app.schema import refuse_newer, revision_of

OTHERS = text(
    "SELECT count(*) FROM pg_stat_activity "
    "WHERE datname = current_database() AND pid <> pg_backend_pid() AND backend_type = "
    "'client backend'"
)
OLDER = (
    "This journal is of an older Oddcup (revision {}, this one writes {}). Open it once with "
    "“oddcup serve”, which keeps a backup and brings it up to date; then move it."
)


@contextmanager
def opened(source: Config) -> Iterator[Connection]:
    """A connection to the journal. A file is held meanwhile, so that nobody else has it open.

    Raises RuntimeError where there is no journal of this Oddcup's, InUse where a file is open.
    """
    path = source.sqlite_path
    if path is None:
        with _reading(source) as connection:
            yield connection
        return
    if not path.exists():
        raise FileNotFoundError(f"There is no journal at {path}.")
    with holding(path, "copy"), _reading(source) as connection:
        yield connection


def others(connection: Connection) -> int:
    """How many other connections a database on a server has at the moment."""
    on_server = connection.dialect.name == "postgresql"
    return int(connection.scalar(OTHERS) or 0) if on_server else 0


@contextmanager
def _reading(source: Config) -> Iterator[Connection]:
    engine = make_engine(source.url)
    try:
        if source.sqlite_path:
            reader = engine.execution_options(oddcup_reads=True)
        else:
            reader = engine.execution_options(
                isolation_level="REPEATABLE READ", postgresql_readonly=True
            )
        with reader.connect() as connection:
            at = revision_of(connection)
            if at is None:
                raise RuntimeError("There is no journal in that database: nothing to move.")
            refuse_newer(at)
            if at != head():
                raise RuntimeError(OLDER.format(at, head()))
            yield connection
    finally:
        engine.dispose()
