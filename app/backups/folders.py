"""Where backups are put: beside the journal, or in a folder that may be on another disk."""

import os
import shutil
from dataclasses import dataclass
from pathlib import Path

from app.backups.files import sync
from app.backups.names import Backup, backups_in
from app.backups.record import Record, note, owner_of, record_of
from app.config import Config

# A disk that was unplugged leaves an empty folder behind on some systems; this file is then
# missing from it, and nothing is put there by mistake.
MARK = "oddcup-backups.txt"
MARK_TEXT = (
    "Backups of an Oddcup journal are kept in this folder. Please leave this file here: without "
    "it, Oddcup takes the folder for a disk that is not plugged in.\n"
)
SPARE_BYTES = 16 * 1024 * 1024


@dataclass(frozen=True, slots=True)
class Place:
    """The folder that backups go to now. `away` says why the chosen one is not used."""

    folder: Path
    chosen: bool
    away: str = ""


def usual_folder(config: Config) -> Path:
    return config.home / "backups"


def place(config: Config, record: Record) -> Place:
    """The chosen folder, or while it is away the usual one: a copy on the same disk still helps
    against everything but the loss of that disk."""
    if not record.folder:
        return Place(usual_folder(config), chosen=False)
    folder = Path(record.folder)
    away = _why_away(folder)
    return Place(usual_folder(config) if away else folder, chosen=not away, away=away)


def _why_away(folder: Path) -> str:
    try:
        if (folder / MARK).is_file():
            return ""
        if folder.is_dir():
            return (
                f"{folder} is there, but {MARK} is not in it: perhaps its disk is not plugged in. "
                "If it is the right folder, choose it again."
            )
    except OSError as error:
        return f"{folder} cannot be reached ({error.strerror})."
    return f"{folder} is not there: perhaps its disk is not plugged in."


def all_backups(config: Config, journal: Path) -> list[Backup]:
    """Those in the usual and in the chosen folder, the newest first."""
    owner = owner_of(journal)
    folders = {usual_folder(config), place(config, record_of(journal)).folder}
    found = [backup for folder in folders for backup in backups_in(folder, owner)]
    return sorted(found, key=lambda backup: backup.made_at, reverse=True)


def choose(journal: Path, typed: str) -> Record:
    """Put backups into this folder from now on; an empty text is the usual folder again.

    The folder is created if its parent is there. Raises ValueError with a sentence for a folder
    that cannot be used.
    """
    if not typed:
        return note(journal, folder="", away="")
    try:
        folder = Path(typed).expanduser()
        if not folder.is_absolute():
            raise ValueError("Please write the whole path of a folder, from the root on.")
        _make_usable(folder, journal)
        return note(journal, folder=str(folder), away="")
    except OSError as error:
        reason = error.strerror or "it cannot be used"
        raise ValueError(f"Backups cannot be put there: {reason}.") from None
    except RuntimeError:  # expanduser: there is no such user
        raise ValueError("Please write the whole path of a folder, from the root on.") from None


def _make_usable(folder: Path, journal: Path) -> None:
    if "\0" in str(folder):
        raise ValueError("That is not the path of a folder.")
    if folder.exists() and not folder.is_dir():
        raise ValueError("That is a file; please name a folder.")
    if not folder.exists():
        if not folder.parent.is_dir():
            raise ValueError(f"There is no folder {folder.parent} to create it in.")
        folder.mkdir(mode=0o700)
    size = journal.stat().st_size if journal.exists() else 0
    if shutil.disk_usage(folder).free < 2 * size + SPARE_BYTES:
        raise ValueError("That disk is nearly full: two more copies of the journal do not fit.")
    mark = folder / MARK
    mark.write_text(MARK_TEXT, encoding="utf-8")
    sync(mark)


def on_the_same_disk(folder: Path, journal: Path) -> bool:
    """As far as the system tells: by the file system that both are in."""
    while not folder.exists() and folder != folder.parent:
        folder = folder.parent
    try:
        return os.stat(folder).st_dev == os.stat(journal.parent).st_dev
    except OSError:
        return False
