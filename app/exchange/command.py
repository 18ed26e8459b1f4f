"""`oddcup export` and `oddcup import`."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from app.config import Config
from app.database import Database
from app.exchange.archive import opened
from app.exchange.coming_in import CameIn, Tried, bring_in, remember_open_tests
from app.exchange.going_out import write_to
from app.journal.imports.identity import named

THERE = "{} is there already; name another file."
DIFFER = (
    "{} rows are here with other content, so nothing came in. Say whose to keep, for all of them: "
    "--keep mine or --keep theirs. With --try they are listed."
)


def export(config: Config, to: Path | None, now: datetime) -> Path:
    """Write the journal's data package; returns the new file.

    Raises FileExistsError and OSError.
    """
    target = to or Path.cwd()
    if target.is_dir():
        target = target / f"oddcup-journal-{now.astimezone():%Y-%m-%d}.zip"
    if target.exists():
        raise FileExistsError(THERE.format(target))
    database = Database(config.url)
    try:
        with database.writing() as session:
            uuid = named(session)
        with database.read_session() as session:
            write_to(session, uuid, target, now)
    finally:
        database.dispose()
    return target


def come_in(
    config: Config, file: Path, keep: str | None, now: datetime, *, only_try: bool
) -> CameIn:
    """Take a package into the journal; `keep` ("mine", "theirs") says whose side a row that
    differs is taken of.

    Raises Refused, and RuntimeError where rows differ and `keep` is None.
    """
    database = Database(config.url)
    try:
        with file.open("rb") as stream, opened(stream) as archive:
            with database.writing() as session:
                session.info.update(now=now, device="oddcup import")
                came = bring_in(session, archive, file.name, theirs=keep == "theirs")
                if only_try:
                    raise Tried(came)
                if came.differs and keep is None and not came.is_empty:
                    raise RuntimeError(DIFFER.format(came.differs))
            remember_open_tests(database, config, came, now)
            return came
    except Tried as tried:
        return tried.came
    finally:
        database.dispose()
