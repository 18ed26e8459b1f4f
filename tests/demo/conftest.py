"""The demo journal, built once."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from app.config import Config
from app.database import Database
from app.models import Brew
from tests.support.demo import demo_in

TODAY = date(2026, 11, 25)


@pytest.fixture(scope="session")
def demo_config(tmp_path_factory: pytest.TempPathFactory, run_folder: Path) -> Config:
    return demo_in(tmp_path_factory.mktemp("demo"), run_folder, TODAY)


@pytest.fixture
def demo(demo_config: Config) -> Iterator[Session]:
    database = Database(demo_config.url)
    with Session(database.reader) as session:
        yield session
    database.dispose()


def count(demo: Session, *where: ColumnElement[bool]) -> int:
    """How many brews of the demo are so."""
    return demo.scalar(select(func.count()).select_from(Brew).where(*where)) or 0
