"""Bringing a package in: all of it or nothing, within one transaction of the caller's.

Into an empty journal everything comes as it was, numbers included. Into one that has rows, these
are put beside those of the package (`merging.py`). A dry run is the same, rolled back.
"""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime

from sqlalchemy import Table, exists, select, update
from sqlalchemy.orm import Session

from app.config import Config
from app.database import Database
from app.exchange.adding import count_on
from app.exchange.archive import Archive
from app.exchange.merging import DIFFERS, LEFT, NEW, Differs, Merge, numbered_tables
from app.exchange.problems import Problems
from app.exchange.rows_in import Incoming, incoming
from app.exchange.tables import is_file, travelling
from app.journal.blind.put_back import steps_of
from app.journal.history import TABLES, Thing, record
from app.journal.imports.identity import identity
from app.journal.imports.noting import begin, chunks, note_added, note_changed
from app.journal.imports.taking_back import CHANGES_NOTED
from app.models import Base, BlindTest, Change, ImportLink, JournalIdentity, JournalImport
from app.models.imports import Key, Plain
from app.seals import seals_of

AT_ONCE, FILES_AT_ONCE = 500, 10
REPLACED = "as in the package that came in"


@dataclass(frozen=True)
class CameIn:
    """What a package brought, by table: counts of new, same, differs, left.

    `open_tests` are keys of blind tests that came in open. `import_id` is None where nothing was
    new and nothing was changed.
    """

    is_empty: bool
    same_journal: bool
    counts: dict[str, dict[str, int]]
    differing: list[Differs]
    import_id: int | None
    open_tests: list[str] = field(default_factory=list)

    def total(self, of: str) -> int:
        return sum(counts.get(of, 0) for counts in self.counts.values())

    @property
    def new(self) -> int:
        return self.total(NEW)

    @property
    def differs(self) -> int:
        return self.total(DIFFERS)

    @property
    def left(self) -> int:
        return self.total(LEFT)


class Tried(Exception):
    """Raised to roll back what came in for a try only."""

    def __init__(self, came: CameIn) -> None:
        super().__init__("Only tried.")
        self.came = came


def bring_in(session: Session, archive: Archive, file_name: str, *, theirs: bool = False) -> CameIn:
    """Take in a package; with `theirs` its side of each row that differs.

    Raises Refused; the caller rolls back then.
    """
    problems = Problems()
    own, is_empty = identity(session), _is_empty(session)
    merge = Merge(
        session=session,
        origin=archive.uuid,
        same_journal=is_empty or own == archive.uuid,
        is_empty=is_empty,
        theirs=theirs,
        problems=problems,
        edited=set() if is_empty else _edited(session) | _edited_there(archive),
    )
    for table in travelling():
        rows = _referring_last(table, incoming(archive, table, problems))
        for some in chunks(rows, _at_once(table)):
            merge.take_in(table, some)
        if table.name == "trial":
            _end_tests(session, merge)
    problems.refuse()
    count_on(session, numbered_tables())
    imported = _note(session, archive, merge, file_name, own)
    return CameIn(
        is_empty=is_empty,
        same_journal=own == archive.uuid,
        counts={name: dict(counts) for name, counts in merge.counts.items() if counts},
        differing=merge.differing,
        import_id=imported,
        open_tests=_open_tests(session, merge),
    )


def _referring_last(table: Table, rows: Iterable[Incoming]) -> Iterable[Incoming]:
    """A row may refer to one of its own table, which refers to none: that comes in before it."""
    own = _of_its_own(table)
    if not own:
        return rows
    return sorted(rows, key=lambda row: any(row.values[name] is not None for name in own))


def _of_its_own(table: Table) -> list[str]:
    return [key.parent.name for key in table.foreign_keys if key.column.table is table]


def _at_once(table: Table) -> int:
    """A row that may refer to one of its own table waits until that is in."""
    if _of_its_own(table):
        return 1
    return FILES_AT_ONCE if any(is_file(column) for column in table.columns) else AT_ONCE


def _is_empty(session: Session) -> bool:
    """Whether there is nothing but, at most, settings."""
    tables = (table for table in travelling() if table.name != "settings")
    return not any(session.scalar(select(exists(select(table)))) for table in tables)


def _edited(session: Session) -> set[tuple[str, int]]:
    rows = session.execute(select(Change.thing, Change.row_id).distinct())
    return {(TABLES.get(kind, kind), number) for kind, number in rows}


def _edited_there(archive: Archive) -> set[tuple[str, int]]:
    """The same of the package, read before its rows are; what cannot be read is found then."""
    table = Base.metadata.tables["change"]
    if not archive.has(table):
        return set()
    lines = archive.lines(table)
    head = next(lines, (1, []))[1]
    edited = set()
    with suppress(ValueError, IndexError):
        thing, row_id = head.index("thing"), head.index("row_id")
        for _, cells in lines:
            edited.add((TABLES.get(cells[thing], cells[thing]), int(cells[row_id][:10])))
    return edited


def _end_tests(session: Session, merge: Merge) -> None:
    tests = Base.metadata.tables["blind_test"]
    for number, end in merge.ends.items():
        if end["ended"] is not None:
            session.execute(update(tests).where(tests.c.id == number).values(end))


def _note(
    session: Session, archive: Archive, merge: Merge, file_name: str, own: str | None
) -> int | None:
    """Note what was added and changed, last of all, as the rows shall stay."""
    if not any(merge.added.values()) and not merge.before:
        return None
    imported = begin(session, "package", file_name)
    if merge.is_empty:
        _take_identity(session, imported, archive.uuid, own)
    for table in travelling():
        note_added(session, imported, table, merge.added.get(table.name, ()))
        if before := merge.before.get(table.name):
            if not merge.is_empty:
                _note_versions(session, table, before)
            note_changed(session, imported, table, before)
    session.add_all(
        ImportLink(
            import_id=imported.id,
            origin=archive.uuid,
            table_name=name,
            their_id=their_id,
            our_id=our_id,
        )
        for name, their_id, our_id in merge.links
    )
    session.flush()
    return imported.id


def _note_versions(session: Session, table: Table, before: dict[tuple[Plain, ...], Key]) -> None:
    """A form that was opened before says that its thing was changed meanwhile."""
    for key in before:
        if table.name in CHANGES_NOTED and isinstance(key[0], int):
            record(session, Thing(table.name, key[0]), what=REPLACED)


def _take_identity(session: Session, imported: JournalImport, uuid: str, own: str | None) -> None:
    """What was empty is a copy of that journal from now on."""
    table = Base.metadata.tables["journal_identity"]
    if own is None:
        session.add(JournalIdentity(id=1, uuid=uuid))
        note_added(session, imported, table, [1])
    elif own != uuid:
        session.execute(update(table).values(uuid=uuid))
        note_changed(session, imported, table, {(1,): [1, own]})


def _open_tests(session: Session, merge: Merge) -> list[str]:
    numbers = [number for number, end in merge.ends.items() if end["ended"] is None]
    query = select(BlindTest.entry_key).where(BlindTest.id.in_(numbers))
    return list(session.scalars(query.order_by(BlindTest.id)))


def remember_open_tests(database: Database, config: Config, came: CameIn, now: datetime) -> None:
    """A blind test that came in open may have gone on elsewhere, as after a restore: it is marked
    so, here, once it is carried on. What cannot be written is not remembered."""
    if not came.open_tests:
        return
    with database.read_session() as session:
        steps = {test.key: test.steps for test in steps_of(session) if test.key in came.open_tests}
    with suppress(OSError):
        seals_of(config).note_put_back(steps, now)
