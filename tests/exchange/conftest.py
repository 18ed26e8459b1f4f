"""Journals to take out and in: each a SQLite file, whatever the rest of the tests runs on."""

from __future__ import annotations

import io
import json
import shutil
import zipfile
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from app.config import Config
from app.database import Database
from app.exchange.archive import opened
from app.exchange.coming_in import CameIn, Tried, bring_in
from app.exchange.going_out import write_package
from app.journal.imports.identity import named

NOW = datetime(2026, 11, 27, 12, tzinfo=UTC)
Files = dict[str, bytes]


@pytest.fixture
def another(sqlite_template: Path, tmp_path: Path) -> Iterator[Callable[[str], Database]]:
    """Another journal, by its name; an empty one where there is none so called yet."""
    made: list[Database] = []

    def opened_one(name: str) -> Database:
        path = tmp_path / f"{name}.db"
        if not path.exists():
            shutil.copyfile(sqlite_template, path)
        made.append(Database(f"sqlite:///{path}"))
        return made[-1]

    yield opened_one
    for one in made:
        one.dispose()


def out(journal: Database, now: datetime = NOW) -> bytes:
    """The package of a journal."""
    with journal.writing() as session:
        uuid = named(session)
    file = io.BytesIO()
    with journal.read_session() as session:
        write_package(session, uuid, file, now)
    return file.getvalue()


def into(journal: Database, package: bytes, *, theirs: bool = False, dry: bool = False) -> CameIn:
    """Bring a package in, or only try it."""
    try:
        with opened(io.BytesIO(package)) as archive, journal.writing() as session:
            session.info.update(now=NOW, device="")
            came = bring_in(session, archive, "journal.zip", theirs=theirs)
            if dry:
                raise Tried(came)
            return came
    except Tried as tried:
        return tried.came


def files_of(package: bytes) -> Files:
    with zipfile.ZipFile(io.BytesIO(package)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def packed(files: Files) -> bytes:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return file.getvalue()


def changed(package: bytes, name: str, old: str, new: str) -> bytes:
    """The package with a text in one file replaced; it has to be there."""
    files = files_of(package)
    assert old.encode() in files[name], f"{old!r} is not in {name}"
    return packed(files | {name: files[name].replace(old.encode(), new.encode())})


def descriptor_of(package: bytes) -> dict[str, object]:
    read: dict[str, object] = json.loads(files_of(package)["datapackage.json"])
    return read


@pytest.fixture
def sqlite_journal(sqlite_config: Config) -> Iterator[Database]:
    database = Database(sqlite_config.url)
    yield database
    database.dispose()
