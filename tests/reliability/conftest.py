"""Here a journal is what the app opens: every saved row is on the disk."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from app.config import Config
from app.database import Database


@pytest.fixture
def journal(config: Config) -> Iterator[Database]:
    database = Database(config.url)
    yield database
    database.dispose()
