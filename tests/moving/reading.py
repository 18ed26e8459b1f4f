"""What a journal holds besides rows: the triggers that keep blind keys."""

from __future__ import annotations

from sqlalchemy import create_engine, text

ON_SQLITE = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' ORDER BY name"
ON_POSTGRESQL = (
    "SELECT tgname, tgenabled::text || pg_get_triggerdef(oid) FROM pg_trigger "
    "WHERE NOT tgisinternal ORDER BY tgname"
)


def triggers(url: str) -> list[tuple[str, str]]:
    engine = create_engine(url)
    with engine.connect() as connection:
        sql = ON_SQLITE if engine.dialect.name == "sqlite" else ON_POSTGRESQL
        found = [(str(name), str(told)) for name, told in connection.execute(text(sql))]
    engine.dispose()
    return found
