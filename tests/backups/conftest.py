"""Backups are copies of a file: these tests are about journals in SQLite, each really on disk."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.config import Config
from app.database import Database


@pytest.fixture
def config(sqlite_config: Config) -> Config:
    return sqlite_config


@pytest.fixture
def journal(config: Config) -> Iterator[Database]:
    database = Database(config.url)
    yield database
    database.dispose()


@pytest.fixture
def file(config: Config) -> Path:
    assert config.sqlite_path
    return config.sqlite_path
