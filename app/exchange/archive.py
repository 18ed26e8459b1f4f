"""Opening a package that may be broken, or made to do harm. Nothing of it is unpacked to the disk.

What a file says of its size is believed before it is read, and held to while it is read: a zip
entry gives no more bytes than it announces, and announces no more than the limits.
"""

from __future__ import annotations

import csv
import io
import json
import re
import stat
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import IO
from uuid import UUID

from sqlalchemy import Table

from app.exchange.descriptor import DESCRIPTOR, FORMAT, NAME, path_of
from app.exchange.problems import Refused
from app.exchange.tables import travelling
from app.revisions import head, revisions

MB = 1024**2
MOST_BYTES = 4096 * MB  # of all files of a package together, unpacked
MOST_RATIO = 200  # of a file of more than 1 MB; tables of a journal shrink to a tenth
MOST_ENTRIES = 200_000
MOST_DESCRIPTOR = 4 * MB
MOST_PHOTO = 12 * MB
MOST_CELL = 4 * MB
# The first revision whose packages can be read. A migration that does more than add columns with a
# default, or tables, has to raise it, or to bring older packages up.
OLDEST = "0024"
PHOTO = re.compile(r"photos/[a-z_]{1,40}-[0-9]{1,10}\.jpg")
DAMAGED = "The file is damaged: {}."
NO_ZIP = "This is no data package: it is not a zip file, or it was cut short."
NEWER = (
    "The package was written by a newer Oddcup (tables of revision {}; this one knows {}). Bring "
    "Oddcup up to date first."
)
OLDER = "The package was written by an older Oddcup than this one can read (revision {})."
NOT_OURS = "This data package is not of a journal: its descriptor says nothing of Oddcup’s tables."


@dataclass(frozen=True)
class Archive:
    """An opened package: whose journal it is, and the revision of its tables."""

    zip: zipfile.ZipFile
    entries: dict[str, zipfile.ZipInfo]
    uuid: str
    revision: str

    @property
    def is_older(self) -> bool:
        return self.revision < head()

    def has(self, table: Table) -> bool:
        return path_of(table) in self.entries

    def lines(self, table: Table) -> Iterator[tuple[int, list[str]]]:
        """The lines of a table with their numbers, its head first. Raises Refused."""
        path = path_of(table)
        csv.field_size_limit(MOST_CELL)
        with _broken(path), self.zip.open(self.entries[path]) as entry:
            text = io.TextIOWrapper(entry, "utf-8-sig", newline="")
            yield from enumerate(csv.reader(text, strict=True), start=1)

    def content(self, path: str) -> bytes | None:
        """A file that a cell names; None if it is not in the package. Raises Refused."""
        if path not in self.entries or not PHOTO.fullmatch(path):
            return None
        with _broken(path):
            return self.zip.read(self.entries[path])


@contextmanager
def opened(file: IO[bytes]) -> Iterator[Archive]:
    """The package in a file. Raises Refused."""
    try:
        package = zipfile.ZipFile(file)
    except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError):
        raise Refused(NO_ZIP) from None
    with package:
        size = file.seek(0, io.SEEK_END)
        entries = _entries(package, size)
        uuid, revision = _described(package, entries)
        archive = Archive(package, entries, uuid, revision)
        for table in travelling():
            if not archive.has(table) and not archive.is_older:
                raise Refused(f"The file {path_of(table)} is missing.")
        yield archive


def _entries(package: zipfile.ZipFile, size: int) -> dict[str, zipfile.ZipInfo]:
    infos = [info for info in package.infolist() if not info.is_dir()]
    if len(infos) > MOST_ENTRIES:
        raise Refused(f"The package holds {len(infos)} files; {MOST_ENTRIES} are the most.")
    tables = {path_of(table) for table in travelling()}
    known: dict[str, zipfile.ZipInfo] = {}
    for info in infos:
        name = info.filename
        if name in known:
            raise Refused(f"The file {_quoted(name)} is in the package twice.")
        if name != DESCRIPTOR and name not in tables and not PHOTO.fullmatch(name):
            raise Refused(f"The package holds {_quoted(name)}, which is no file of a journal.")
        if stat.S_ISLNK(info.external_attr >> 16):
            raise Refused(f"{_quoted(name)} is a link; a package holds files only.")
        if info.flag_bits & 0x1:
            raise Refused(f"{_quoted(name)} is locked with a password.")
        _check_size(info)
        known[name] = info
    if sum(info.file_size for info in infos) > MOST_BYTES:
        raise Refused(f"Unpacked, the package would be larger than {MOST_BYTES // MB} MB.")
    if sum(info.compress_size for info in infos) > size:
        raise Refused(DAMAGED.format("its parts lie over each other"))
    if DESCRIPTOR not in known:
        raise Refused(f"The file {DESCRIPTOR} is missing: this is no data package.")
    return known


def _check_size(info: zipfile.ZipInfo) -> None:
    name = info.filename
    most = MOST_DESCRIPTOR if name == DESCRIPTOR else MOST_PHOTO
    if (name == DESCRIPTOR or PHOTO.fullmatch(name)) and info.file_size > most:
        raise Refused(f"{_quoted(name)} is larger than {most // MB} MB.")
    if info.file_size > max(MB, info.compress_size * MOST_RATIO):
        raise Refused(
            f"{_quoted(name)} would unpack to {MOST_RATIO} times its size and more, which no "
            "table of a journal does."
        )


def _described(package: zipfile.ZipFile, entries: dict[str, zipfile.ZipInfo]) -> tuple[str, str]:
    with _broken(DESCRIPTOR):
        text = package.read(entries[DESCRIPTOR])
    try:
        read = json.loads(text.decode("utf-8-sig"))
    except (ValueError, RecursionError):
        raise Refused(f"{DESCRIPTOR} cannot be read: it is not JSON.") from None
    ours = read.get("oddcup") if isinstance(read, dict) else None
    if not isinstance(ours, dict) or read.get("name") != NAME:
        raise Refused(NOT_OURS)
    return _uuid(read.get("id")), _revision(ours)


def _uuid(value: object) -> str:
    try:
        return str(UUID(str(value)))
    except ValueError:
        raise Refused(f"{DESCRIPTOR} has no id that says which journal it is of.") from None


def _revision(ours: dict[str, object]) -> str:
    of, revision = ours.get("format"), str(ours.get("revision"))
    is_number = re.fullmatch(r"[0-9]{4}", revision) is not None
    if not isinstance(of, int) or not is_number:
        raise Refused(NOT_OURS)
    if of > FORMAT or revision > head():
        raise Refused(NEWER.format(revision, head()))
    if revision < OLDEST or revision not in revisions():
        raise Refused(OLDER.format(revision))
    return revision


@contextmanager
def _broken(path: str) -> Iterator[None]:
    """What reading a damaged file raises, in words."""
    try:
        yield
    except UnicodeDecodeError:
        raise Refused(f"{path} is not text in UTF-8.") from None
    except csv.Error as error:
        raise Refused(f"{path} is no table: {error}.") from None
    except (
        zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, OSError
    ):  # fmt: skip
        raise Refused(DAMAGED.format(f"{path} cannot be unpacked")) from None


def _quoted(name: str) -> str:
    cut = name if len(name) <= 60 else f"{name[:59]}…"
    return f"“{cut.encode('utf-8', 'replace').decode()}”"
