"""The migrations make exactly the tables that the models describe, on both databases."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from alembic import command
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine

from app.models import Base
from app.revisions import head, revisions
from app.schema import alembic_config, current, upgrade
from tests.migrations.schema_text import Schema, schema
from tests.support import postgres


def test_there_is_one_line_of_revisions() -> None:
    scripts = ScriptDirectory.from_config(alembic_config("sqlite://"))
    assert scripts.get_heads() == [head()]
    assert [script.revision for script in scripts.walk_revisions()][::-1] == revisions()
    assert revisions() == [f"{number:04d}" for number in range(1, len(revisions()) + 1)]


def test_an_empty_file_becomes_a_journal(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'new.db'}"
    assert current(url) is None
    upgrade(url)
    assert current(url) == head()


@pytest.mark.postgres
def test_an_empty_database_becomes_a_journal(postgres_server: str) -> None:
    with postgres.database(postgres_server) as url:
        assert current(url) is None
        upgrade(url)
        assert current(url) == head()


def test_nothing_is_left_to_migrate(sqlite_template: Path) -> None:
    command.check(alembic_config(f"sqlite:///{sqlite_template}"))


@pytest.mark.postgres
def test_nothing_is_left_to_migrate_on_postgresql(postgres_url: str) -> None:
    command.check(alembic_config(postgres_url))


def test_migrated_and_modelled_tables_are_the_same(sqlite_template: Path, tmp_path: Path) -> None:
    migrated = _schema(f"sqlite:///{sqlite_template}")
    modelled = _schema_of_models(f"sqlite:///{tmp_path / 'models.db'}")
    assert _differences(migrated, modelled) == {}
    assert "ck_brew_dose_g_range" in " ".join(migrated["brew"])


@pytest.mark.postgres
def test_migrated_and_modelled_tables_are_the_same_on_postgresql(
    postgres_url: str, postgres_server: str
) -> None:
    with postgres.database(postgres_server) as models:
        assert _differences(_schema(postgres_url), _schema_of_models(models)) == {}


def test_the_comparison_sees_a_check_that_is_missing(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'models.db'}"
    modelled = _schema_of_models(url)
    check = next(part for part in modelled["grinder"] if "ck_grinder_name_filled" in part)
    engine = create_engine(url)
    with engine.begin() as connection:
        rows = connection.exec_driver_sql("SELECT sql FROM sqlite_master WHERE name = 'grinder'")
        checked = str(rows.scalar_one())
        unchecked = re.sub(r",\s+CONSTRAINT ck_grinder_name_filled CHECK \(.+\)", "", checked)
        connection.exec_driver_sql("DROP TABLE grinder")
        connection.exec_driver_sql(unchecked)
    engine.dispose()
    assert _differences(modelled, _schema(url)) == {"grinder": {check}}


def _differences(one: Schema, other: Schema) -> Schema:
    """What stands in only one of two schemas, by table."""
    tables = one.keys() | other.keys()
    apart = {table: one.get(table, set()) ^ other.get(table, set()) for table in tables}
    return {table: parts for table, parts in apart.items() if parts}


def _schema(url: str) -> Schema:
    engine = create_engine(url)
    with engine.connect() as connection:
        found = schema(connection)
    engine.dispose()
    return found


def _schema_of_models(url: str) -> Schema:
    engine = create_engine(url)
    Base.metadata.create_all(engine)
    engine.dispose()
    return _schema(url)
