"""A journal on PostgreSQL writes the package that its SQLite file writes, and takes one in."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.config import Config
from app.database import Database
from app.journal.imports.taking_back import take_back
from app.models import Brew
from app.moving.copying import move
from app.moving.target import config_of
from app.revisions import head
from tests.exchange.conftest import NOW, into, out
from tests.migrations.filling import fill
from tests.support.demo import demo_in
from tests.support.factories import Make

pytestmark = pytest.mark.postgres


@pytest.fixture
def there(postgres_url: str) -> Iterator[Database]:
    database = Database(postgres_url)
    yield database
    database.dispose()


@pytest.mark.parametrize("of", ["demo", "full"])
def test_copied_to_postgresql_the_journal_writes_the_same_package(
    tmp_path: Path, run_folder: Path, sqlite_config: Config, there: Database, of: str
) -> None:
    config = sqlite_config
    if of == "demo":
        config = demo_in(tmp_path, run_folder, date(2026, 11, 25))
    here = Database(config.url)
    if of == "full":
        fill(Make(here), head())
        for name in ("Zoë", "zebra", "Äpfel", "apple", "_", "épi", "ß"):
            Make(here).taster(name=name)
    package = out(here)
    here.dispose()
    there.dispose()
    move(config, config_of(there.engine.url.render_as_string(False), config), lambda _line: None)
    assert out(there) == package


def test_a_package_comes_in_beside_rows_on_postgresql_and_goes(
    sqlite_config: Config, there: Database
) -> None:
    here = Database(sqlite_config.url)
    fill(Make(here), head())
    package = out(here)
    here.dispose()
    came = into(there, package)
    assert out(there) == package
    with there.writing() as session:
        take_back(session, came.import_id or 0, NOW)
    make = Make(there)
    make.brew(entry_key="own")  # numbers go on after those that were here
    own = out(there)
    came = into(there, package)
    assert (came.same_journal, came.differs) == (False, 0)
    assert into(there, package).new == 0
    with Session(there.writer) as session, session.begin():
        greatest = max(session.scalars(select(Brew.id)))
    assert make.brew(entry_key="after").id > greatest
    with there.writing() as session:
        session.execute(Brew.__table__.delete().where(Brew.entry_key == "after"))
        take_back(session, came.import_id or 0, NOW)
    assert out(there) == own
