"""A journal with rows in every table, to be moved."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from app.config import Config, sqlite_url
from app.database import Database
from app.revisions import head
from tests.migrations.filling import fill
from tests.support.factories import Make


@pytest.fixture(scope="session")
def filled_file(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("filled") / "journal.db"
    shutil.copyfile(sqlite_template, path)
    journal = Database(sqlite_url(path))
    fill(Make(journal), head())
    journal.dispose()
    return path


@pytest.fixture
def source(filled_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Config:
    """A copy of it, in a file of its own; this account's data folder is another one."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    home = tmp_path / "home"
    home.mkdir()
    shutil.copyfile(filled_file, home / "journal.db")
    return Config(url=sqlite_url(home / "journal.db"), home=home, secret_key="")
