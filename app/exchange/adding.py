"""Putting rows in, many at once; where the database refuses some, each is named."""

from __future__ import annotations

import re
from collections.abc import Sequence

from sqlalchemy import Table, func, select, text, update
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import Session

from app.exchange.descriptor import path_of
from app.exchange.problems import Problem, Problems
from app.exchange.rows_in import Incoming, Values
from app.journal.imports.noting import has_key
from app.models.imports import Key

_CHECK = re.compile(r"ck_([a-z0-9_]+)")
_TWICE = re.compile(r"UNIQUE constraint failed: ([\w., ]+)|unique constraint \"(\w+)\"")


def add_rows(session: Session, table: Table, rows: Sequence[Incoming], problems: Problems) -> None:
    """Raises Refused where there are many problems; else they are noted."""
    if not rows:
        return
    try:
        with session.begin_nested():
            session.connection().execute(table.insert(), [row.values for row in rows])
    except DBAPIError as error:
        if error.connection_invalidated or _is_no_rule(error):
            raise
        _add_one_by_one(session, table, rows, problems)


def _add_one_by_one(
    session: Session, table: Table, rows: Sequence[Incoming], problems: Problems
) -> None:
    for row in rows:
        try:
            with session.begin_nested():
                session.connection().execute(table.insert(), [row.values])
        except DBAPIError as error:
            if _is_no_rule(error):
                raise
            problems.add(Problem(path_of(table), row.line, "", _in_words(table, error)))


def change_row(
    session: Session, table: Table, key: Key, line: int, values: Values, problems: Problems
) -> None:
    """Give a row that is here these values; where the database refuses, it is noted."""
    try:
        with session.begin_nested():
            session.execute(update(table).where(has_key(table, [key])).values(values))
    except DBAPIError as error:
        if _is_no_rule(error):
            raise
        problems.add(Problem(path_of(table), line, "", _in_words(table, error)))


def _is_no_rule(error: DBAPIError) -> bool:
    """Whether the database failed, rather than refused a row."""
    said = str(error.orig).lower()
    return any(word in said for word in ("locked", "disk", "full", "i/o", "timeout", "malformed"))


def _in_words(table: Table, error: DBAPIError) -> str:
    said = str(error.orig)
    if "foreign key" in said.lower():
        return "refers to a row that is not in the package"
    if twice := _TWICE.search(said):
        of = (twice[1] or twice[2]).replace(f"{table.name}.", "").removeprefix(f"uq_{table.name}_")
        return f"is there twice, by its {of}"
    if check := _CHECK.search(said):
        rule = check[1].removeprefix(f"{table.name}_").replace("_", " ")
        return f"holds what the journal does not take ({rule})"
    return f"is refused by the journal: {said.splitlines()[0]}"


def free_number(session: Session, table: Table) -> int:
    """The first number above all rows of a table."""
    return int(session.scalar(select(func.max(table.c.id))) or 0) + 1


def count_on(session: Session, tables: Sequence[Table]) -> None:
    """PostgreSQL counts a row's number by itself: it goes on after the greatest there is."""
    if session.get_bind().dialect.name != "postgresql":
        return
    for table in tables:
        sequence = text("SELECT pg_get_serial_sequence(:name, 'id')").bindparams(name=table.name)
        if "id" in table.columns and (name := session.scalar(sequence)):
            number = free_number(session, table)
            session.execute(
                text("SELECT setval(:name, :number, false)").bindparams(name=name, number=number)
            )
