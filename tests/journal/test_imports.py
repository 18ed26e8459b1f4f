"""An import is taken back as one, and only where nothing that was noted since would be lost."""

from __future__ import annotations

from datetime import datetime

import pytest
from sqlalchemy import func, inspect, select, text, update
from sqlalchemy.exc import DatabaseError
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.history import Thing, record
from app.journal.imports.noting import begin, note_added, note_changed, plain
from app.journal.imports.reading import latest_imports
from app.journal.imports.taking_back import Hindrance, StillNeeded, hindrances, take_back
from app.models import Bag, Base, Bean, BlindTest, Brew, Change, ImportedRows, JournalImport, Trial
from tests.migrations.filling import ROWS, fill
from tests.support.clock import NOON
from tests.support.factories import Make

OWN = {"journal_import", "imported_rows", "import_link", "journal_identity"}


def _import_of(journal: Database, *tables: str) -> int:
    """As if an import had added all rows of these tables that are there."""
    with journal.writing() as session:
        session.info.update(now=NOON, device="Kitchen")
        imported = begin(session, "package", "journal.zip")
        for name in tables:
            table = Base.metadata.tables[name]
            keys = session.execute(select(*table.primary_key.columns)).all()
            note_added(session, imported, table, [[plain(part) for part in key] for key in keys])
        return imported.id


def _counts(journal: Database) -> dict[str, int]:
    with Session(journal.reader) as session:
        return {
            name: session.scalar(select(func.count()).select_from(table)) or 0
            for name, table in Base.metadata.tables.items()
        }


def test_a_whole_journal_is_taken_back(journal: Database, make: Make) -> None:
    """Every table has rows, with trials and packets, which the database keeps from deletion."""
    for revision, rows in ROWS.items():
        if revision != "0024":
            rows(make)
    counts = _counts(journal)
    tables = [name for name in counts if name not in OWN]
    assert [name for name in tables if not counts[name]] == ["left_trial"]
    number = _import_of(journal, *tables)
    with journal.writing() as session:
        assert hindrances(session, number) == []
        assert take_back(session, number, NOON)
    after = _counts(journal)
    assert {name: after[name] for name in after if after[name]} == {"journal_import": 1}
    with Session(journal.reader) as session:
        (noted,) = latest_imports(session)
    assert (noted.file_name, noted.device, noted.taken_back_at) == ("journal.zip", "Kitchen", NOON)
    assert noted.counts == {name: counts[name] for name in tables if counts[name]}


def test_the_seals_hold_again_afterwards(journal: Database, make: Make) -> None:
    fill(make, "0013")
    number = _import_of(journal, "taster")
    with journal.writing() as session, pytest.raises(StillNeeded):
        take_back(session, number, NOON)
    make.taster(name="Alone")
    with journal.writing() as session:
        imported = begin(session, "sheet", "a.csv")
        alone = session.scalar(select(func.max(Base.metadata.tables["taster"].c.id)))
        note_added(session, imported, Base.metadata.tables["taster"], [alone or 0])
        take_back(session, imported.id, NOON)
    for statement in ("DELETE FROM trial", "DELETE FROM blind_test_mark"):
        with pytest.raises(DatabaseError), journal.writing() as session:
            session.execute(text(statement))


def test_what_was_added_since_and_refers_to_it_is_named(journal: Database, make: Make) -> None:
    bag = make.bag()
    number = _import_of(journal, "bean", "bag")
    brew = make.brew(bag)
    with journal.writing() as session:
        assert hindrances(session, number) == [Hindrance("bag", [bag.id], "brew", [brew.id])]
    with pytest.raises(StillNeeded), journal.writing() as session:
        take_back(session, number, NOON)
    assert _counts(journal)["bag"] == 1


@pytest.mark.parametrize("column", ["note", "binned_at"])
def test_what_was_changed_since_is_named(journal: Database, make: Make, column: str) -> None:
    bag, other = make.bag(), make.bag(note="as it was")
    number = _import_of(journal, "bean", "bag")
    change: dict[str, str | datetime] = {"note": "Sour" if column == "note" else ""}
    if column == "binned_at":
        change = {"binned_at": NOON}
    with journal.writing() as session:
        session.execute(update(Bag).where(Bag.id == bag.id).values(change))
        assert hindrances(session, number) == [Hindrance("bag", [bag.id])]
    with journal.writing() as session:
        session.execute(update(Bag).where(Bag.id == bag.id).values(note="", binned_at=None))
    with journal.writing() as session:
        record(session, Thing("bag", bag.id), what="changed, and back")
        assert take_back(session, number, NOON)
    assert other.id
    assert (_counts(journal)["bag"], _counts(journal)["change"]) == (0, 0)


def test_a_row_deleted_since_counts_as_changed(journal: Database, make: Make) -> None:
    brew = make.brew(filters=[make.filter()])
    number = _import_of(journal, "brew", "filter_use")
    with journal.writing() as session:
        session.execute(text("DELETE FROM filter_use"))
        assert Hindrance("filter_use", [brew.id, 1]) in hindrances(session, number)


def test_what_it_changed_is_put_back(journal: Database, make: Make) -> None:
    brew = make.brew(note="mine", brewed_at="2026-02-03T07:15", tds_pct=1.25)
    make.photo(brew, b"\xff\xd8mine")
    with journal.writing() as session:
        imported = begin(session, "package", "theirs.zip")
        for name, values in (
            ("brew", {"note": "theirs", "tds_pct": None, "brewed_at": NOON}),
            ("brew_photo", {"jpeg": b"\xff\xd8theirs"}),
        ):
            table = Base.metadata.tables[name]
            row = session.execute(select(table)).one()
            before = {(row.id,): [plain(value) for value in row]}
            session.execute(table.update().values(values))
            note_changed(session, imported, table, before)
        assert imported.counts == {}
        number = imported.id
    with journal.writing() as session:
        assert session.scalar(select(Brew.note)) == "theirs"
        take_back(session, number, NOON)
    with Session(journal.reader) as session:
        row = session.scalars(select(Brew)).one()
        assert (row.note, row.tds_pct, row.brewed_at) == ("mine", 1.25, brew.brewed_at)
        jpeg = session.scalar(select(Base.metadata.tables["brew_photo"].c.jpeg))
        assert jpeg == b"\xff\xd8mine"
        assert session.scalar(select(Change.what)) == "put back as before an import"


def test_a_test_that_was_carried_on_stays(journal: Database, make: Make) -> None:
    fill(make, "0003")
    number = _import_of(journal, *(n for n in Base.metadata.tables if n not in OWN))
    with journal.writing() as session:
        test = session.scalars(select(BlindTest)).one()
        trial = session.scalars(select(Trial)).one()
        copied = {column.key: getattr(trial, column.key) for column in inspect(Trial).columns}
        session.add(Trial(**copied | {"id": None, "number": 2}))
    with journal.writing() as session:
        assert Hindrance("blind_test", [test.id], "trial", [2]) in hindrances(session, number)


def test_taking_back_twice_or_what_is_not_there_does_nothing(journal: Database, make: Make) -> None:
    make.bean()
    number = _import_of(journal, "bean")
    with journal.writing() as session:
        assert take_back(session, number, NOON)
        assert take_back(session, number, NOON) is None
        assert take_back(session, 99, NOON) is None


def test_thousands_of_rows_are_noted_in_a_few_pieces(journal: Database, make: Make) -> None:
    with journal.writing() as session:
        session.add_all(Bean(name=f"Bean {number}", note="") for number in range(1200))
    number = _import_of(journal, "bean")
    with Session(journal.reader) as session:
        assert session.scalar(select(func.count()).select_from(ImportedRows)) == 3
        assert session.get_one(JournalImport, number).counts == {"bean": 1200}
    with journal.writing() as session:
        assert take_back(session, number, NOON)
    assert _counts(journal)["bean"] == 0
