"""Bringing a journal's tables up to date, after a backup.

Alembic takes long to import, so that is left until a migration is due: usually one SELECT is all.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, create_engine, inspect, text
from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from app.backup import back_up
from app.config import Config

if TYPE_CHECKING:
    from alembic.config import Config as AlembicConfig

MIGRATIONS = Path(__file__).resolve().parent.parent / "migrations"


def revisions() -> list[str]:
    """Every revision from the first to the newest: files are named NNNN_slug.py."""
    names = (path.name for path in (MIGRATIONS / "versions").glob("[0-9]*.py"))
    return sorted(match[1] for name in names if (match := re.match(r"(\d{4})_", name)))


def head() -> str:
    return revisions()[-1]


def current(url: str) -> str | None:
    """The revision of a database; None for an empty one.

    Raises RuntimeError if it cannot be opened or holds anything but a journal.
    """
    try:
        engine = create_engine(url)
    except (ImportError, SQLAlchemyError) as error:
        raise RuntimeError(f"ODDCUP_DATABASE_URL cannot be used: {error}") from None
    try:
        with engine.connect() as connection:
            return _revision(connection)
    except DBAPIError as error:
        raise RuntimeError(f"The journal could not be opened: {error.orig}") from None
    finally:
        engine.dispose()


def _revision(connection: Connection) -> str | None:
    tables = set(inspect(connection).get_table_names())
    if not tables - {"alembic_version"}:
        return None
    if {"alembic_version", "brew"} <= tables:
        return str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar())
    raise RuntimeError("That database holds something else than a journal; nothing was changed.")


def bring_up_to_date(config: Config) -> Path | None:
    """Migrate if needed; returns the backup taken before, None if nothing had to be backed up.

    Raises RuntimeError when the journal was written by a newer Oddcup.
    """
    at = current(config.url)
    if at == head():
        return None
    if at is not None and at not in revisions():
        raise RuntimeError(
            f"This journal was written by a newer Oddcup (revision {at}, this one knows "
            f"{head()}). Install the newer one; nothing was changed."
        )
    backup = back_up(config, label=f"before-{head()}") if at is not None else None
    upgrade(config.url)
    return backup


def upgrade(url: str, revision: str = "head") -> None:
    from alembic import command

    command.upgrade(alembic_config(url), revision)


def downgrade(url: str, revision: str) -> None:
    from alembic import command

    command.downgrade(alembic_config(url), revision)


def alembic_config(url: str) -> AlembicConfig:
    from alembic.config import Config as AlembicConfig

    settings = AlembicConfig()
    settings.set_main_option("script_location", str(MIGRATIONS))
    settings.set_main_option("sqlalchemy.url", url.replace("%", "%%"))
    return settings
