"""datapackage.json: what the files of a package are, as Frictionless Data's standards say it.

Data Package, Tabular Data Resource and Table Schema, version 1 (https://specs.frictionlessdata.io).
Units stand beside the types, in a property of our own, `unit`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from sqlalchemy import (
    CheckConstraint,
    Column,
    ForeignKeyConstraint,
    String,
    Table,
    UniqueConstraint,
)

from app.exchange.cells import kind
from app.exchange.tables import BROWSERS, is_file, title, travelling, travels
from app.exchange.units import unit_of

FORMAT = 1
NAME = "oddcup-journal"
DESCRIPTOR = "datapackage.json"
TITLE = "A journal of brewed coffee"
SAYS = (
    "Each table of the journal as a CSV file (UTF-8, comma, RFC 4180), photos as files. Numbers "
    "are in the units named with each field, with a decimal point; times are UTC. An empty cell is "
    "a missing value, or an empty text where a text cannot be missing. Texts are written exactly, "
    "also those that begin with = + - or @: a spreadsheet may take such a text for a formula, so "
    "import these columns as text. Of blind tests the keys are here of what was revealed; of other "
    "trials stands only that they were drawn (left_trial). Devices, codes and secrets are not here."
)
BROWSER = "Which browser, by a number of this package; 'browser 1' is the same one in all rows."
PHOTO = "The path of its file in this package."

Json = dict[str, "JsonValue"]
JsonValue = str | int | float | bool | None | list["JsonValue"] | Json

_RANGE = re.compile(r"^(\w+) BETWEEN (-?[\d.]+) AND (-?[\d.]+)$")
_WORDS = re.compile(r"^(\w+) IN \((.+)\)$")


def descriptor(uuid: str, revision: str) -> Json:
    """The whole descriptor; `uuid` is the journal's identity, `revision` that of its tables."""
    return {
        "profile": "data-package",
        "name": NAME,
        "id": uuid,
        "title": TITLE,
        "description": SAYS,
        "oddcup": {"format": FORMAT, "revision": revision},
        "resources": [_resource(table) for table in travelling()],
    }


def path_of(table: Table) -> str:
    return f"data/{table.name}.csv"


def _resource(table: Table) -> Json:
    schema: Json = {
        "fields": [_field(table, column) for column in table.columns],
        "primaryKey": [column.name for column in table.primary_key.columns],
        "missingValues": [""],
    }
    if keys := list(_foreign_keys(table)):
        schema["foreignKeys"] = list[JsonValue](keys)
    return {
        "profile": "tabular-data-resource",
        "name": table.name,
        "path": path_of(table),
        "description": title(table),
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "schema": schema,
    }


def _field(table: Table, column: Column[object]) -> Json:
    field: Json = {"name": column.name, "type": kind(column)}
    if unit := unit_of(column):
        field["unit"] = unit
    if (table.name, column.name) in BROWSERS:
        field["description"] = BROWSER
    elif is_file(column):
        field["description"] = PHOTO
    if limits := dict(_limits(table, column)):
        field["constraints"] = limits
    return field


def _limits(table: Table, column: Column[object]) -> Iterator[tuple[str, JsonValue]]:
    """What Table Schema can say of the column's constraints."""
    is_text = isinstance(column.type, String)
    if not column.nullable and not is_text:
        yield "required", True
    if is_text and isinstance(column.type, String) and column.type.length:
        yield "maxLength", column.type.length
    checks = (one for one in table.constraints if isinstance(one, CheckConstraint))
    for sql in sorted(str(one.sqltext) for one in checks):
        if (range_ := _RANGE.match(sql)) and range_[1] == column.name:
            whole = kind(column) == "integer"
            yield "minimum", int(float(range_[2])) if whole else float(range_[2])
            yield "maximum", int(float(range_[3])) if whole else float(range_[3])
        if (words := _WORDS.match(sql)) and words[1] == column.name:
            yield "enum", [word for word in re.findall(r"'([^']*)'", words[2]) if word]
    for one in table.constraints:
        if isinstance(one, UniqueConstraint) and [*one.columns] == [column]:
            yield "unique", True


def _foreign_keys(table: Table) -> Iterator[Json]:
    keys = [one for one in table.constraints if isinstance(one, ForeignKeyConstraint)]
    for key in sorted(keys, key=lambda one: tuple(one.column_keys)):
        if travels(key.referred_table):
            yield {
                "fields": list[JsonValue](key.column_keys),
                "reference": {
                    "resource": "" if key.referred_table is table else key.referred_table.name,
                    "fields": [element.column.name for element in key.elements],
                },
            }
