"""Putting the rows of a package beside those that are here: which are new, the same, or differ."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from sqlalchemy import Table, select, tuple_
from sqlalchemy.orm import Session

from app.exchange.adding import add_rows, change_row, free_number
from app.exchange.identity import COUNTED_ON, NAMES, PARTS, SEALED, known_by, references
from app.exchange.numbers import NotHere, renumbered
from app.exchange.problems import Problems
from app.exchange.rows_in import Incoming, Values
from app.exchange.tables import BROWSERS
from app.journal.history import TABLES
from app.journal.imports.noting import plain
from app.models import ImportLink
from app.models.imports import Key, Plain
from app.models.reading import PARENTS_FIRST

MOST_LISTED = 200
NEW, SAME, DIFFERS, LEFT = "new", "same", "differs", "left"
# How a blind test ended is written once its trials are in: an ended one takes no more of them.
END = {"ended": None, "stopped_at": None, "stopped_why": ""}
Here = Mapping[str, object]


class Differs(NamedTuple):
    """A row that is here and in the package with other content; the values that differ."""

    table: str
    key: Key
    mine: dict[str, Plain]
    theirs: dict[str, Plain]


@dataclass
class Merge:
    """What is known while a package comes in.

    `numbers` are, by table, the numbers that rows of the package have here. `theirs` takes the
    package's side of a row that differs. `edited` are rows whose change was noted, here or there:
    one that differs and was never changed is another thing, which got the same number in a copy.
    """

    session: Session
    origin: str
    same_journal: bool
    is_empty: bool
    theirs: bool
    problems: Problems
    edited: set[tuple[str, int]]
    numbers: dict[str, dict[int, int]] = field(default_factory=dict)
    added: dict[str, list[Key]] = field(default_factory=dict)
    added_numbers: dict[str, set[int]] = field(default_factory=dict)
    before: dict[str, dict[tuple[Plain, ...], Key]] = field(default_factory=dict)
    links: list[tuple[str, int, int]] = field(default_factory=list)
    ends: dict[int, Values] = field(default_factory=dict)
    counts: dict[str, Counter[str]] = field(default_factory=dict)
    differing: list[Differs] = field(default_factory=list)
    free: dict[str, int] = field(default_factory=dict)

    def take_in(self, table: Table, rows: Sequence[Incoming]) -> None:
        """Some rows of a table, after all rows that they refer to."""
        counts = self.counts.setdefault(table.name, Counter())
        if self.is_empty and table.name != "settings":
            self._add(table, rows)
            counts[NEW] += len(rows)
            return
        ready: list[Incoming] = []
        theirs: dict[int, int] = {}  # the number in the package, by line
        for row in rows:
            try:
                ready.append(Incoming(row.line, renumbered(table, row.values, self.numbers)))
            except NotHere:
                counts[LEFT] += 1
            theirs[row.line] = _number(row.values)
        there = _There(self, table, ready, theirs)
        new = [row for row in ready if self._is_new(table, row, theirs[row.line], there, counts)]
        self._give_numbers(table, new, theirs, there)
        self._add(table, new)
        counts[NEW] += len(new)

    def _is_new(
        self, table: Table, row: Incoming, number: int, there: _There, counts: Counter[str]
    ) -> bool:
        here = there.of(row, number)
        differing = [] if here is None else _differing(table, here, row.values)
        if here is not None and (not differing or there.by_name):
            self._is(table, number, here)
            counts[SAME] += 1
            return False
        if self._is_a_part_of_what_is_here(table, row.values):
            counts[LEFT] += 1
            return False
        if here is None or self._is_another(table, here, row.values):
            return True
        self._is(table, number, here)
        if table.name in SEALED:
            counts[LEFT] += 1
            return False
        counts[DIFFERS] += 1
        self._differs(table, row, here, differing)
        return False

    def _is(self, table: Table, number: int, here: Here) -> None:
        if isinstance(here.get("id"), int):
            self.numbers.setdefault(table.name, {})[number] = _number(here)

    def _is_a_part_of_what_is_here(self, table: Table, values: Values) -> bool:
        if table.name == "change":
            kind = str(values["thing"])
            owner, number = TABLES.get(kind, kind), values["row_id"]
        elif table.name in PARTS:
            column = PARTS[table.name]
            owner, number = references(table)[column], values[column]
        else:
            return False
        return number not in self.added_numbers.get(owner, set())

    def _is_another(self, table: Table, here: Here, values: Values) -> bool:
        """Whether two rows that differ are two things."""
        if table.name in COUNTED_ON:
            return True
        if not known_by(table).by_number or not self.same_journal:
            return False
        owners = [
            (target, values[column])
            for column, target in references(table).items()
            if not table.columns[column].nullable
        ]
        changed = [(table.name, _number(here)), *owners]
        return not any(thing in self.edited for thing in changed)

    def _differs(self, table: Table, row: Incoming, here: Here, differing: Sequence[str]) -> None:
        key = [plain(here[column.name]) for column in table.primary_key.columns]
        if len(self.differing) < MOST_LISTED:
            mine, theirs = (
                {name: _told(side[name]) for name in differing} for side in (here, row.values)
            )
            self.differing.append(Differs(table.name, key, mine, theirs))
        if self.theirs or self.is_empty:
            before = [plain(here[column.name]) for column in table.columns]
            self.before.setdefault(table.name, {})[tuple(key)] = before
            values = {name: row.values[name] for name in differing}
            change_row(self.session, table, key, row.line, values, self.problems)

    def _give_numbers(
        self, table: Table, new: Iterable[Incoming], theirs: Mapping[int, int], there: _There
    ) -> None:
        """The number a row had, where it is of this journal and the number is free."""
        for row in new:
            for owner, counted in (COUNTED_ON[table.name],) if table.name in COUNTED_ON else ():
                there.count_on(row, owner, counted)
            if "id" not in table.columns:
                continue
            number = theirs[row.line]
            own = self.added_numbers.setdefault(table.name, set())
            is_free = self.same_journal and number not in there.taken and number not in own
            if _is_numbered(table) and not is_free:
                free = self.free.get(table.name) or free_number(self.session, table)
                while free in own:
                    free += 1
                row.values["id"], self.free[table.name] = free, free + 1
            here = _number(row.values)
            own.add(here)
            self.numbers.setdefault(table.name, {})[number] = here
            if known_by(table).by_number and (not self.same_journal or here != number):
                self.links.append((table.name, number, here))

    def _add(self, table: Table, rows: Sequence[Incoming]) -> None:
        if table.name == "blind_test":
            for row in rows:
                self.ends[_number(row.values)] = {name: row.values[name] for name in END}
            rows = [Incoming(row.line, row.values | END) for row in rows]
        add_rows(self.session, table, rows, self.problems)
        primary = [column.name for column in table.primary_key.columns]
        keys = ([plain(row.values[name]) for name in primary] for row in rows)
        self.added.setdefault(table.name, []).extend(keys)


class _There:
    """The rows here that some rows of a package may be."""

    def __init__(
        self, merge: Merge, table: Table, rows: Sequence[Incoming], theirs: Mapping[int, int]
    ) -> None:
        self.by_name = False
        self._merge, self._table = merge, table
        self._known = known_by(table)
        self._linked: dict[int, int] = {}
        self.taken: set[int] = set()
        if not rows:
            return
        numbers = [theirs[row.line] for row in rows]
        if _is_numbered(table):
            query = select(table.c.id).where(table.c.id.in_(numbers))
            self.taken = set(merge.session.connection().execute(query).scalars())
        if self._known.by_number:
            self._linked = _links(merge, table, numbers)
        self._rows = self._read(rows, numbers)
        self._named = self._read_names(rows)

    def of(self, row: Incoming, number: int) -> Here | None:
        """The row here that this one is."""
        self.by_name = False
        if not self._known.by_number:
            return self._rows.get(tuple(row.values[name] for name in self._known.columns))
        linked = self._linked.get(number)
        if linked is not None:
            return self._rows.get((linked,))
        if self._merge.same_journal:
            return self._rows.get((number,))
        names = NAMES.get(self._table.name)
        named = self._named.get(tuple(row.values[name] for name in names)) if names else None
        self.by_name = named is not None
        return named

    def count_on(self, row: Incoming, owner: str, counted: str) -> None:
        """A revision gets the next number of its recipe, if its own is taken."""
        key = tuple(row.values[name] for name in self._known.columns)
        if key not in self._rows:
            return
        table = self._table
        query = select(table.c[counted]).where(table.c[owner] == row.values[owner])
        taken = set(self._merge.session.connection().execute(query).scalars())
        row.values[counted] = max(taken) + 1

    def _read(
        self, rows: Sequence[Incoming], numbers: Sequence[int]
    ) -> dict[tuple[object, ...], Here]:
        columns = [self._table.columns[name] for name in self._known.columns]
        if self._known.by_number:
            keys: list[tuple[object, ...]] = [
                (number,) for number in {*numbers, *self._linked.values()}
            ]
        else:
            keys = [tuple(row.values[name] for name in self._known.columns) for row in rows]
        wanted = tuple_(*columns).in_(keys) if len(columns) > 1 else columns[0].in_(
            [key[0] for key in keys]
        )  # fmt: skip
        found = self._merge.session.connection().execute(select(self._table).where(wanted))
        names = self._known.columns
        return {tuple(one[name] for name in names): dict(one) for one in found.mappings()}

    def _read_names(self, rows: Sequence[Incoming]) -> dict[tuple[object, ...], Here]:
        names = NAMES.get(self._table.name)
        if names is None or self._merge.same_journal:
            return {}
        first = self._table.columns[names[0]]
        wanted = first.in_([row.values[names[0]] for row in rows])
        query = select(self._table).where(wanted).order_by(self._table.c.id.desc())
        found = self._merge.session.connection().execute(query).mappings()
        return {tuple(one[name] for name in names): dict(one) for one in found}


def _links(merge: Merge, table: Table, numbers: Sequence[int]) -> dict[int, int]:
    """What rows of the package became here when they came in before."""
    query = select(ImportLink.their_id, ImportLink.our_id).where(
        ImportLink.origin == merge.origin,
        ImportLink.table_name == table.name,
        ImportLink.their_id.in_(numbers),
    )
    return dict(merge.session.execute(query).all())


def _differing(table: Table, here: Here, values: Values) -> list[str]:
    """Columns in which two rows that may be the same differ; their numbers do not count."""
    return [
        column.name
        for column in table.columns
        if (table.name, column.name) not in BROWSERS
        and not (column.name == "id" and _is_numbered(table))
        and here[column.name] != values[column.name]
    ]


def _is_numbered(table: Table) -> bool:
    """Whether a row has a number of its own."""
    primary = list(table.primary_key.columns)
    one = len(primary) == 1 and primary[0].name == "id"
    return one and not primary[0].foreign_keys and table.name != "settings"


def _number(values: Here) -> int:
    number = values.get("id")
    return number if isinstance(number, int) else 0


def _told(value: object) -> Plain:
    return "a picture" if isinstance(value, bytes) else plain(value)


def numbered_tables() -> list[Table]:
    return [table for table in PARENTS_FIRST if _is_numbered(table)]
