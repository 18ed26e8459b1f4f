"""Here a journal is what the app opens: every saved row is on the disk."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from app.config import Config
from app.database import Database

DATABASES = ["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)]


@pytest.fixture(params=DATABASES)
def on_either(request: pytest.FixtureRequest) -> Config:
    """A fresh journal in a file, and another on PostgreSQL, whatever the rest runs on."""
    file: Config = request.getfixturevalue("sqlite_config")
    if request.param == "sqlite":
        return file
    return replace(file, url=request.getfixturevalue("postgres_url"))


@pytest.fixture
def journal(config: Config) -> Iterator[Database]:
    database = Database(config.url)
    yield database
    database.dispose()
