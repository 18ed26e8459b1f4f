"""The rows of a package, each cell as the column takes it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from sqlalchemy import Column, Table

from app.exchange.archive import Archive
from app.exchange.cells import NoValue, Value, shown, value_of
from app.exchange.descriptor import path_of
from app.exchange.problems import Problem, Problems, Refused
from app.exchange.tables import BROWSERS, is_file

Values = dict[str, object]
NO_FILE = "names “{}”, which is not in the package"


class Incoming(NamedTuple):
    """A row of a package: the line it stands on, and its values by column."""

    line: int
    values: Values


def incoming(archive: Archive, table: Table, problems: Problems) -> Iterator[Incoming]:
    """The rows that can be read; what cannot is noted. Raises Refused."""
    if not archive.has(table):
        return
    path = path_of(table)
    lines = archive.lines(table)
    head = next(lines, (1, []))[1]
    columns = _columns(archive, table, head)
    readers = [(column.name, _reader(archive, table, column)) for column in columns]
    missing = {c.name: _default(c) for c in table.columns if c.name not in head}
    for number, cells in lines:
        if len(cells) != len(readers):
            says = f"has {len(cells)} cells, not {len(readers)}"
            problems.add(Problem(path, number, "", says))
            continue
        values: Values = {name: default() for name, default in missing.items()}
        for (name, read), text in zip(readers, cells, strict=True):
            try:
                values[name] = read(text)
            except NoValue as error:
                problems.add(Problem(path, number, name, str(error)))
                break
        else:
            yield Incoming(number, values)


def _columns(archive: Archive, table: Table, head: list[str]) -> list[Column[object]]:
    path, known = path_of(table), {column.name: column for column in table.columns}
    if len(set(head)) != len(head):
        raise Refused(f"{path} names a column twice in its first line.")
    if unknown := [name for name in head if name not in known]:
        raise Refused(f"{path} has a column “{shown(unknown[0])}” that the journal does not know.")
    for name, column in known.items():
        has_default = column.nullable or column.default is not None
        if name not in head and not (archive.is_older and has_default):
            raise Refused(f"{path} lacks the column {name}.")
    return [known[name] for name in head]


def _default(column: Column[object]) -> Callable[[], object]:
    """What a column holds in the rows of an older package, which did not know it."""
    made = column.default
    if made is None:
        return lambda: None
    if made.is_callable:
        return lambda: made.arg(None)  # type: ignore[attr-defined]
    return lambda: made.arg  # type: ignore[attr-defined]


def _reader(archive: Archive, table: Table, column: Column[object]) -> Value:
    if is_file(column):
        return lambda path: _content(archive, path)
    read = value_of(column)
    if (table.name, column.name) in BROWSERS:
        return lambda text: _browser(read(text))
    return read


def _content(archive: Archive, path: str) -> bytes:
    content = archive.content(path)
    if content is None:
        raise NoValue(NO_FILE.format(shown(path)))
    if not content.startswith(b"\xff\xd8"):
        raise NoValue(f"names “{shown(path)}”, which is no JPEG picture")
    return content


def _browser(value: object) -> object:
    """Only what a package writes: nobody is let in by the hash of a secret that came in."""
    if value is not None and not (str(value).startswith("browser ") and str(value)[8:].isdigit()):
        raise NoValue("does not name a browser of the package")
    return value
