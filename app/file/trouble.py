"""What keeps a command from its journal, in a sentence with the file's name and the way out."""

import errno
import os
import shutil
from pathlib import Path

from sqlalchemy.exc import DBAPIError

FULL_BELOW_BYTES = 64 * 1024
FULL = "The disk is full: make room on it, then start again."
READ_ONLY = "The disk is read-only: name a journal on another one with --journal."
NOT_ALLOWED = "Let this account read and write it, and the folder it is in."
FOLDER = "It is a folder: name a file with --journal."
NO_FOLDER = "A part of its name is a file, not a folder: name another with --journal."
NO_JOURNAL = "If a journal was there, put a backup in its place: oddcup restore FILE."
WAYS_OUT = {
    errno.ENOSPC: FULL,
    errno.EDQUOT: FULL,
    errno.EROFS: READ_ONLY,
    errno.EACCES: NOT_ALLOWED,
    errno.EPERM: NOT_ALLOWED,
    errno.EISDIR: FOLDER,
    errno.ENOTDIR: NO_FOLDER,
    errno.EEXIST: NO_FOLDER,
}


def not_opened(journal: Path | None, error: Exception) -> RuntimeError:
    """The error to raise where a journal cannot be opened or begun."""
    why = str(error.orig if isinstance(error, DBAPIError) else error)
    if journal is None:
        return RuntimeError(f"The journal could not be opened: {why}")
    way_out = _way_out(journal, error)
    return RuntimeError(f"The journal could not be opened: {journal} ({why}). {way_out}".strip())


def _way_out(journal: Path, error: Exception) -> str:
    """SQLite only says that it could not open the file, so the reason is looked for."""
    if isinstance(error, OSError):
        return WAYS_OUT.get(error.errno or 0, "")
    told = str(error)
    if "not a database" in told or "malformed" in told:
        return NO_JOURNAL
    if journal.is_dir():
        return FOLDER
    if "full" in told or is_full(journal):
        return FULL
    both = os.R_OK | os.W_OK
    allowed = os.access(journal.parent, both) and (not journal.exists() or os.access(journal, both))
    return "" if allowed else NOT_ALLOWED


def is_full(journal: Path) -> bool:
    """Whether the disk that holds the journal has no room left."""
    try:
        return shutil.disk_usage(journal.parent).free < FULL_BELOW_BYTES
    except OSError:
        return False
