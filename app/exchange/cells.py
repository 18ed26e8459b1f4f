"""A value of a column as the text of a cell, and back: the same on both databases.

An empty cell is a missing value; a column that cannot be missing has an empty text there. Times
are UTC, numbers the shortest text that is read as the same number.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from datetime import UTC, date, datetime

from sqlalchemy import JSON, Boolean, Column, Date, Float, Integer, LargeBinary, String

from app.models.base import Moment

Cell = Callable[[object], str]
Value = Callable[[str], object]
GREATEST = 2**31 - 1
MOST_DIGITS = 20


class NoValue(ValueError):
    """The text is no value of its column; the message says why, to be read after its name."""


def kind(column: Column[object]) -> str:
    """The type of the column in a Table Schema."""
    of = column.type
    if isinstance(of, Moment):
        return "datetime"
    if isinstance(of, JSON):
        return "array" if column.name not in OBJECTS else "object"
    for known, name in TYPES:
        if isinstance(of, known):
            return name
    raise TypeError(f"No cell is known for {column}.")


TYPES = (
    (Boolean, "boolean"), (Integer, "integer"), (Float, "number"), (Date, "date"),
    (LargeBinary, "string"), (String, "string"),
)  # fmt: skip
# Columns of JSON that hold names with values, not a list.
OBJECTS = {"changes"}


def cell_of(column: Column[object]) -> Cell:
    """The function that writes the values of a column. Files are written elsewhere."""
    write = WRITE[kind(column)]
    return lambda value: "" if value is None else write(value)


def value_of(column: Column[object]) -> Value:
    """The function that reads the cells of a column; it raises NoValue."""
    read, missing = READ[kind(column)], _missing(column)
    longest = column.type.length if isinstance(column.type, String) else None

    def value(text: str) -> object:
        if text == "":
            if missing is NoValue:
                raise NoValue("is empty")
            return missing
        if longest is not None and len(text) > longest:
            raise NoValue(f"has {len(text)} characters; {longest} are the most")
        return read(text)

    return value


def _missing(column: Column[object]) -> object:
    if column.nullable:
        return None
    return "" if isinstance(column.type, String) else NoValue


def _moment(value: object) -> str:
    assert isinstance(value, datetime)  # noqa: S101 - the column's type says so
    return value.astimezone(UTC).replace(tzinfo=None).isoformat() + "Z"


def _number(value: object) -> str:
    return repr(float(str(value)) + 0.0)  # no negative zero


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


WRITE: dict[str, Cell] = {
    "string": str,
    "integer": str,
    "number": _number,
    "boolean": lambda value: "true" if value else "false",
    "date": lambda value: str(value),
    "datetime": _moment,
    "array": _json,
    "object": _json,
}


def _read_text(text: str) -> str:
    if "\0" in text:
        raise NoValue("holds a character that no text has")
    return text


def _read_integer(text: str) -> int:
    digits = text.removeprefix("-")
    if not (digits.isascii() and digits.isdecimal() and len(digits) <= MOST_DIGITS):
        raise NoValue(f"is “{shown(text)}”, not a whole number")
    if abs(number := int(text)) > GREATEST:
        raise NoValue(f"is {shown(text)}, which is too large")
    return number


def _read_number(text: str) -> float:
    try:
        number = float(text) if text.isascii() and "_" not in text else math.nan
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise NoValue(f"is “{shown(text)}”, not a number with a decimal point")
    return number


def _read_boolean(text: str) -> bool:
    if text not in ("true", "false"):
        raise NoValue(f"is “{shown(text)}”, neither true nor false")
    return text == "true"


def _read_date(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise NoValue(f"is “{shown(text)}”, not a date such as 2026-05-17") from None


def _read_moment(text: str) -> datetime:
    try:
        moment = datetime.fromisoformat(text)
        if moment.tzinfo is not None:
            return moment.astimezone(UTC)
    except (ValueError, OverflowError):
        pass
    raise NoValue(f"is “{shown(text)}”, not a time such as 2026-05-17T06:40:00Z")


def _read_json(text: str, of: type) -> object:
    try:
        value = json.loads(_read_text(text))
        json.dumps(value, ensure_ascii=False, allow_nan=False).encode()
    except (ValueError, RecursionError):
        raise NoValue("is not JSON") from None
    if not isinstance(value, of) or "\\u0000" in text:
        raise NoValue("is not the JSON that stands there")
    return value


READ: dict[str, Value] = {
    "string": _read_text,
    "integer": _read_integer,
    "number": _read_number,
    "boolean": _read_boolean,
    "date": _read_date,
    "datetime": _read_moment,
    "array": lambda text: _read_json(text, list),
    "object": lambda text: _read_json(text, dict),
}


def shown(text: str) -> str:
    """A cell as a message quotes it."""
    return text if len(text) <= 40 else f"{text[:39]}…"
