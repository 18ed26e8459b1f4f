"""Bringing a journal's tables up to date, after a backup.

Alembic takes long to import, so that is left until a migration is due: usually one SELECT is all.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, create_engine, inspect, text
from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from app.backups.copying import back_up
from app.config import Config, sqlite_file
from app.file.lock import Lock
from app.file.trouble import not_opened
from app.revisions import MIGRATIONS, head, revisions

if TYPE_CHECKING:
    from alembic.config import Config as AlembicConfig

MIGRATION_S = 600  # how long another process may take to bring the journal up to date
ADVISORY_KEY = 0x0DDC0B  # of PostgreSQL's lock, any number that no other program takes


def current(url: str) -> str | None:
    """The revision of a database; None for an empty one.

    Raises RuntimeError if it cannot be opened or holds anything but a journal.
    """
    try:
        engine = create_engine(url)
    except (ImportError, SQLAlchemyError) as error:
        raise RuntimeError(f"ODDCUP_DATABASE_URL cannot be used: {error}") from None
    path = sqlite_file(url)
    if path is not None and not path.exists():
        return None  # connecting would make it
    try:
        with engine.connect() as connection:
            return revision_of(connection)
    except DBAPIError as error:
        raise not_opened(path, error) from None
    finally:
        engine.dispose()


def revision_of(connection: Connection) -> str | None:
    """As `current`, of a connection that is open."""
    tables = set(inspect(connection).get_table_names())
    if not tables - {"alembic_version"}:
        return None
    if {"alembic_version", "brew"} <= tables:
        return str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar())
    raise RuntimeError("That database holds something else than a journal; nothing was changed.")


def bring_up_to_date(config: Config) -> Path | None:
    """Migrate if needed; returns the backup taken before, None if nothing had to be backed up.

    Of several processes that start at once, one migrates and the others wait for it. Raises
    RuntimeError when the journal was written by a newer Oddcup.
    """
    if _is_due(config.url) is None:
        return None
    with _one_at_a_time(config):
        at = _is_due(config.url)
        if at is None:
            return None
        backup = None
        if at and not config.demo:
            backup = back_up(config, label=f"before-{head()}")
        _upgrade_or_leave_nothing(config)
        return backup


def _is_due(url: str) -> str | None:
    """The revision to migrate from, empty for a new journal; None if it is up to date."""
    at = current(url)
    if at is None:
        return ""
    refuse_newer(at)
    return None if at == head() else at


def refuse_newer(at: str) -> None:
    """Raises RuntimeError for a revision that this Oddcup does not know."""
    if at not in revisions():
        raise RuntimeError(
            f"This journal was written by a newer Oddcup (revision {at}, this one knows "
            f"{head()}). Install the newer one; nothing was changed."
        )


def _upgrade_or_leave_nothing(config: Config) -> None:
    """A journal that could not be begun leaves no empty file behind."""
    path = config.sqlite_path
    is_new = path is not None and not path.exists()
    try:
        upgrade(config.url)
    except DBAPIError as error:
        raise not_opened(path, error) from None
    finally:
        if is_new and path is not None and path.exists() and not path.stat().st_size:
            path.unlink()


@contextmanager
def _one_at_a_time(config: Config) -> Iterator[None]:
    path = config.sqlite_path
    if path is not None:
        lock = Lock(path, "serve", MIGRATION_S, suffix=".migrating")
        try:
            yield
        finally:
            lock.release()
        return
    engine = create_engine(config.url, isolation_level="AUTOCOMMIT")
    try:
        with engine.connect() as connection:
            connection.execute(text("SELECT pg_advisory_lock(:key)"), {"key": ADVISORY_KEY})
            yield  # the lock ends with the connection
    finally:
        engine.dispose()


def upgrade(url: str, revision: str = "head") -> None:
    from alembic import command

    command.upgrade(alembic_config(url), revision)


def upgrade_within(connection: Connection) -> None:
    """Of PostgreSQL: the tables come, or are changed, with the transaction of this connection."""
    from alembic import command

    settings = alembic_config("")
    settings.attributes["connection"] = connection
    command.upgrade(settings, "head")


def wait_for_others(connection: Connection) -> None:
    """Of PostgreSQL: nobody else brings the tables up to date before this transaction ends."""
    connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": ADVISORY_KEY})


def downgrade(url: str, revision: str) -> None:
    from alembic import command

    command.downgrade(alembic_config(url), revision)


def alembic_config(url: str) -> AlembicConfig:
    from alembic.config import Config as AlembicConfig

    settings = AlembicConfig()
    settings.set_main_option("script_location", str(MIGRATIONS))
    settings.set_main_option("sqlalchemy.url", url.replace("%", "%%"))
    return settings
