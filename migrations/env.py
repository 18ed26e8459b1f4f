"""Alembic's door to the journal; it opens its own connection, unless it is given one whose
transaction the tables are to be part of.

SQLite: foreign keys are off while tables are rebuilt (else the rebuild of a parent would
delete its children), one IMMEDIATE transaction holds everything, and the keys are checked
before it is committed.
"""

from typing import Any

from alembic import context
from sqlalchemy import Connection, create_engine, event

from app.models import Base

config = context.config


def run_migrations() -> None:
    given: Connection | None = config.attributes.get("connection")
    if given is not None:
        _run(given)
        return
    url = config.get_main_option("sqlalchemy.url")
    if not url:
        from app.config import from_environment

        url = from_environment().url
    engine = create_engine(url)
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _own_transactions)
    with engine.connect() as connection:
        if engine.dialect.name == "sqlite":
            _run_sqlite(connection)
        else:
            _run(connection)
            connection.commit()
    engine.dispose()


def _own_transactions(dbapi_connection: Any, _record: object) -> None:
    dbapi_connection.isolation_level = None
    dbapi_connection.execute("PRAGMA foreign_keys = OFF")
    dbapi_connection.execute("PRAGMA busy_timeout = 5000")


def _run_sqlite(connection: Connection) -> None:
    connection.exec_driver_sql("BEGIN IMMEDIATE")
    _run(connection)
    broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
    if broken:
        connection.exec_driver_sql("ROLLBACK")
        raise RuntimeError(f"The migration would break references: {broken[:5]}")
    connection.exec_driver_sql("COMMIT")


def _run(connection: Connection) -> None:
    context.configure(
        connection=connection,
        target_metadata=Base.metadata,
        render_as_batch=connection.dialect.name == "sqlite",
        compare_type=True,
        autogenerate_plugins=["alembic.autogenerate.*", "alembic.ext.checkconstraint_byname"],
    )
    context.run_migrations()


run_migrations()
