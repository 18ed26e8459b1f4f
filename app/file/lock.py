"""Who has a journal open: a locked file beside it, JOURNAL.lock, that names them.

It is never the journal itself that is locked: closing any other descriptor of that file would drop
SQLite's own locks. The system lets go of the lock when a process ends, however it ends.
"""

import json
import os
import socket
import sys
import time
from contextlib import suppress
from dataclasses import asdict, dataclass, field, replace
from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import urlsplit

LOOK_AGAIN_S = 0.05
NAMED_WITHIN_S = 1.0
MOST_BYTES = 4096


@dataclass(frozen=True)
class Holder:
    """Who has the lock. `marks`: what the file may be marked with, see app/file/opened.py."""

    doing: str
    pid: int = field(default_factory=os.getpid)
    host: str = field(default_factory=socket.gethostname)
    since: str = field(default_factory=lambda: datetime.now(UTC).isoformat(timespec="seconds"))
    address: str = ""
    marks: tuple[int, ...] = ()

    @property
    def port(self) -> int | None:
        return urlsplit(self.address).port

    def __str__(self) -> str:
        here = "" if self.host == socket.gethostname() else f" on {self.host}"
        since = datetime.fromisoformat(self.since).astimezone()
        return f"Oddcup, process {self.pid}{here}, since {since:%Y-%m-%d %H:%M}"


class InUse(RuntimeError):
    """Another process has the journal; the message says which, and what to do."""

    def __init__(self, journal: Path, holder: Holder | None) -> None:
        self.holder = holder
        super().__init__(_sentence(journal, holder))


class Lock:
    """The lock of one journal. `before` is who had it last and left no word of having closed."""

    def __init__(self, journal: Path, doing: str, wait_s: float = 0.0, suffix: str = ".lock"):
        """Take it. Raises InUse if another process has it longer than `wait_s`, and OSError."""
        self.path = journal.with_name(journal.name + suffix)
        until = time.monotonic() + wait_s
        while (taken := _take(self.path)) is None:
            if time.monotonic() >= until:
                raise InUse(journal, _named(self.path))
            time.sleep(LOOK_AGAIN_S)
        self._file: int = taken
        self.before = _read(self._file)
        self.holder = Holder(doing, marks=self.before.marks if self.before else ())
        self.only_reads = False  # set for a damaged journal: its log is left as it is
        self.tell()

    def tell(self, address: str = "", marks: tuple[int, ...] = ()) -> None:
        """Write down who has it, and what is new about them, so that a power cut does not undo it.

        A full disk keeps nobody from having the lock; it only stays unsaid who has it.
        """
        now = self.holder
        self.holder = replace(now, address=address or now.address, marks=marks or now.marks)
        with suppress(OSError):
            os.ftruncate(self._file, 0)
            os.lseek(self._file, 0, os.SEEK_SET)
            os.write(self._file, json.dumps(asdict(self.holder)).encode())
            os.fsync(self._file)

    def release(self, keep: bool = False) -> None:
        """Let go, and remove the file unless what it says will be needed at the next start."""
        if not keep and sys.platform != "win32":
            self.path.unlink(missing_ok=True)
        os.close(self._file)
        if not keep and sys.platform == "win32":  # which removes no file that is open
            with suppress(OSError):
                self.path.unlink()


def _take(path: Path) -> int | None:
    """The locked file, None if another process has it."""
    while True:
        file = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            if not _lock(file):
                os.close(file)
                return None
            with suppress(OSError):  # it was removed between our opening and our locking it
                if os.path.samestat(os.fstat(file), path.stat()):
                    return file
        except OSError:
            os.close(file)
            raise
        os.close(file)


if sys.platform == "win32":
    import msvcrt

    def _lock(file: int) -> bool:
        """A byte far behind the text, which others could not read while it is locked."""
        os.lseek(file, 1 << 30, os.SEEK_SET)
        try:
            msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _lock(file: int) -> bool:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True


def _named(path: Path) -> Holder | None:
    """Who has it; who has only just taken it is given a moment to say so."""
    for _ in range(round(NAMED_WITHIN_S / LOOK_AGAIN_S)):
        with suppress(OSError):
            file = os.open(path, os.O_RDONLY)
            try:
                if holder := _read(file):
                    return holder
            finally:
                os.close(file)
        time.sleep(LOOK_AGAIN_S)
    return None


def _read(file: int) -> Holder | None:
    """None where it says nothing that can be read."""
    os.lseek(file, 0, os.SEEK_SET)
    try:
        told = json.loads(os.read(file, MOST_BYTES))
        holder = Holder(**told | {"marks": tuple(map(int, told.pop("marks")))})
        str(holder)
    except (ValueError, TypeError, KeyError):
        return None
    return holder


def _sentence(journal: Path, holder: Holder | None) -> str:
    if holder is None:
        return f"{journal} is open in another program. Close it there first."
    if holder.doing == "restore":
        return f"{journal} is being restored from a backup ({holder}). Wait until that is done."
    place = f" at {holder.address}" if holder.address else ""
    return f"{journal} is open already{place} ({holder}). Use it there, or close it there first."
