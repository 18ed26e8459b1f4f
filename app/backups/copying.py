"""Copying a journal into one file while it is written to, and giving that file its name."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from app.backups.checks import Weight, check_file, of_weight
from app.backups.files import only_one, put_in_place, reading_file, remove
from app.backups.folders import place, usual_folder
from app.backups.names import BY_HAND, DAILY, DOUBTFUL, PARTIAL, new_name
from app.backups.online import Counts, Unsound, copy_online, count_rows
from app.backups.record import note, owner_of, record_of, stamp
from app.config import Config
from app.file.opened import beside

WAIT_FOR_OTHERS_S = 60.0
DAMAGED = (
    "{} was not backed up, because the copy did not pass its checks: {} The journal itself may be "
    "damaged. Earlier backups were left as they are."
)
DOUBTED = (
    "The copy is whole, but its rows did not pass every check: {} It is kept as {} and does not "
    "count as a backup."
)
OTHER_BACKUP = "Another backup of this journal is being made; try again in a moment."


class Doubtful(ValueError):
    """The copy was kept under a name of its own, since its rows contradict each other."""


def back_up(
    config: Config, label: str = BY_HAND, to: Path | None = None, now: datetime | None = None
) -> Path | None:
    """Copy a SQLite journal, check the copy, and give it its name; returns the new file.

    `to` is a new file, or a folder for one. Returns None for a PostgreSQL journal. Raises
    FileNotFoundError if there is no journal yet, FileExistsError if `to` is a file already,
    ValueError if the journal cannot be read or its copy does not pass the checks, CouldNotLook
    and OSError.
    """
    source = config.sqlite_path
    if source is None:
        return None
    if not source.exists():
        raise FileNotFoundError(f"There is no journal at {source}.")
    if to is not None and not to.is_dir():
        to.parent.mkdir(parents=True, exist_ok=True)
        return take(source, to, label)
    with only_one(source, WAIT_FOR_OTHERS_S) as alone:
        if not alone:
            raise RuntimeError(OTHER_BACKUP)
        folder = to or folder_for(config, label)
        counts = label == BY_HAND and to is None
        try:
            made = take(source, folder / new_name(label, owner_of(source), now), label)
        except ValueError as error:
            if counts:
                note(source, failure=str(error), failed_at=stamp(now))
            raise
        if counts:
            note(source, newest=str(made), newest_at=stamp(now), failure="", failed_at="")
        return made


def folder_for(config: Config, label: str) -> Path:
    """Copies taken before something is done stay beside the journal; the others go where backups
    go. The folder is created."""
    folder, journal = usual_folder(config), config.sqlite_path
    if journal is not None and label in {BY_HAND, DAILY}:
        folder = place(config, record_of(journal)).folder
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return folder


def take(source: Path, to: Path, label: str, stopped: Callable[[], bool] = lambda: False) -> Path:
    """The steps of every backup: copy, check, name. A backup counts from when it has its name."""
    if to.exists():
        raise FileExistsError(f"{to} exists already; it was left as it is.")
    partial = beside(to, PARTIAL)
    try:
        counts = copy_online(source, partial, stopped)
        doubts = _checked(source, partial, counts)
        if doubts and label in {BY_HAND, DAILY}:
            to = to.with_name(new_name(DOUBTFUL, owner_of(source)))
            put_in_place(partial, to)
            raise Doubtful(DOUBTED.format(" ".join(doubts), to))
        put_in_place(partial, to)
    except Unsound as damage:
        raise ValueError(DAMAGED.format(source, damage)) from None
    finally:
        remove(partial)
    return to


def _checked(source: Path, partial: Path, counts: Counts) -> list[str]:
    """What contradicts itself in the copy. Raises Unsound where it is damaged."""
    outcomes = check_file(partial)
    findings = of_weight(Weight.DAMAGE, outcomes)
    if not findings:
        with reading_file(partial) as copy:
            copied = count_rows(copy)
        findings = [
            f"{table} has {rows} rows in the journal and {copied.get(table, 0)} in the copy."
            for table, rows in counts.items()
            if copied.get(table) != rows
        ]
    if findings:
        raise Unsound(findings[0])
    return of_weight(Weight.DOUBT, outcomes)
