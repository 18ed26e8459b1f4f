"""What tables hold, as one number that no database changes, and that every change of a row does."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest
from sqlalchemy import Column, Integer, LargeBinary, MetaData, String, Table, create_engine, select
from sqlalchemy.types import JSON, Double

from app.models.base import Moment
from app.models.reading import PARENTS_FIRST, points_back
from app.moving.sums import Sum

NOON = datetime(2026, 9, 3, 12, tzinfo=UTC)
THINGS = Table(
    "things", MetaData(),
    Column("id", Integer, primary_key=True), Column("name", String(20)), Column("grams", Double),
    Column("at", Moment), Column("words", JSON), Column("jpeg", LargeBinary),
)  # fmt: skip
ROW = {"id": 1, "name": "Šípek", "grams": 2.0, "at": NOON, "words": {"a": 1, "b": None},
       "jpeg": b"\xff\x00"}  # fmt: skip


def sum_of(*rows: dict[str, Any]) -> Sum:
    """Of rows that were in a database."""
    engine = create_engine("sqlite://")
    with engine.begin() as connection:
        THINGS.create(connection)
        found = Sum(THINGS)
        connection.execute(THINGS.insert(), list(rows))
        found.add(connection.execute(select(THINGS).order_by(THINGS.c.name)).mappings().all())
    engine.dispose()
    return found


@pytest.mark.parametrize(
    "same",
    [
        {"grams": 2},
        {"at": NOON.astimezone(timezone(timedelta(hours=9)))},
        {"words": {"b": None, "a": 1}},
    ],
)
def test_what_only_some_databases_tell_apart_is_the_same(same: dict[str, Any]) -> None:
    assert sum_of(ROW) == sum_of(ROW | same)


@pytest.mark.parametrize(
    "other",
    [
        {"id": 2}, {"name": "šípek"}, {"name": None}, {"name": ""}, {"grams": 2.0000000000000004},
        {"at": NOON + timedelta(microseconds=1)}, {"words": {"a": 1}},
        {"words": {"a": "1", "b": None}},
        {"jpeg": b"\xff\x01"},
    ],
)  # fmt: skip
def test_any_change_is_seen(other: dict[str, Any]) -> None:
    assert sum_of(ROW) != sum_of(ROW | other)


def test_the_order_of_rows_is_not_but_their_number_is() -> None:
    second = ROW | {"id": 2, "name": "Rose"}
    assert sum_of(ROW, second) == sum_of(second, ROW) != sum_of(ROW)


def test_values_that_change_places_are_seen() -> None:
    """A sum over columns, each by itself, would not see it."""
    second = ROW | {"id": 2, "name": "Rose"}
    swapped = (ROW | {"name": "Rose"}, second | {"name": "Šípek"})
    assert sum_of(ROW, second) != sum_of(*swapped)


def test_parents_come_before_their_children() -> None:
    seen: set[str] = set()
    for table in PARENTS_FIRST:
        for constraint in table.foreign_key_constraints:
            if not set(points_back(table)) & set(constraint.column_keys):
                assert constraint.referred_table.name in seen, table.name
        seen.add(table.name)


def test_no_json_column_holds_two_kinds_of_nothing() -> None:
    """NULL and JSON's null are read alike, and a copy would write one for the other."""
    for table in PARENTS_FIRST:
        for column in table.columns:
            if isinstance(column.type, JSON) and column.nullable:
                assert column.type.none_as_null, f"{table.name}.{column.name}"
