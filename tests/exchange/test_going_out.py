"""The package holds the whole journal, is a valid data package, and other programs read it."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from datetime import date
from pathlib import Path

import frictionless
import pandas
import pytest
from sqlalchemy import Column, Integer, MetaData, String, Table, func, select

from app.database import Database
from app.exchange import tables
from app.exchange.cells import kind
from app.exchange.tables import LEFT_BEHIND, SECRET, travelling, travels
from app.exchange.units import SHARES, unit_of
from app.models import Base
from app.revisions import head
from tests.exchange.conftest import descriptor_of, files_of, into, out
from tests.migrations.filling import fill
from tests.support.demo import demo_in
from tests.support.factories import Make

Another = Callable[[str], Database]


@pytest.fixture
def full(sqlite_journal: Database) -> Database:
    """A journal with rows in every table."""
    fill(Make(sqlite_journal), head())
    return sqlite_journal


def test_every_table_travels_or_says_why_not(full: Database) -> None:
    package = out(full)
    held = {name for name in files_of(package) if name.startswith("data/")}
    with full.read_session() as session:
        for table in Base.metadata.tables.values():
            rows = session.scalar(select(func.count()).select_from(table))
            assert rows, f"{table.name} has no row in tests/migrations/filling.py"
            if travels(table):
                assert f"data/{table.name}.csv" in held
            else:
                secret = any(SECRET.search(column.name) for column in table.columns)
                assert secret or LEFT_BEHIND[table.name]
    assert len(held) == len(travelling())


def test_no_secret_travels(full: Database) -> None:
    """Hashes of devices, codes and browsers are 64 letters of one kind in the filled journal."""
    text = "".join(
        content.decode() for name, content in files_of(out(full)).items() if ".jpg" not in name
    )
    for letter in "abcdef":
        assert letter * 64 not in text
    assert "browser 1" in text
    for name in ("device", "pairing_code", "saved_form", "api_token"):
        assert f"data/{name}.csv" not in text


def test_every_row_and_text_is_there_exactly(full: Database) -> None:
    files = files_of(out(full))
    beans = list(csv.DictReader(io.StringIO(files["data/bean.csv"].decode(), newline="")))
    assert beans[0]["name"] == "Šípek & <Rose>"
    assert beans[0]["note"] == "It's 'quoted'\nover lines"
    photos = [name for name in files if name.startswith("photos/")]
    assert sorted(files[name] for name in photos) == [
        b"\xff\xd8\x00'not really a picture",
        b"\xff\xd8\x00not shown",
    ]
    with full.read_session() as session:
        for table in set(travelling()) - {Base.metadata.tables["left_trial"]}:
            rows = session.scalar(select(func.count()).select_from(table)) or 0
            written = list(csv.reader(io.StringIO(files[f"data/{table.name}.csv"].decode())))
            sealed = {"blind_packet": 1}.get(table.name, 0)  # a packet that waits for its trial
            assert len(written) - 1 == rows - sealed, table.name


def test_the_bytes_depend_on_the_journal_only(full: Database) -> None:
    assert out(full) == out(full)


def test_the_package_is_valid(full: Database, tmp_path: Path) -> None:
    target = tmp_path / "journal.zip"
    target.write_bytes(out(full))
    report = frictionless.Package(str(target)).validate()
    assert report.flatten(["name", "rowNumber", "fieldName", "note"]) == []
    assert report.stats["tasks"] == len(travelling())


def test_every_amount_has_its_unit() -> None:
    counts = {
        "number", "row_id", "from_id", "into_id", "stirs", "count", "prior_uses", "position",
        "place", "block", "use_number", "of_place", "trial", "cups", "answer", "a_filter_use",
        "b_filter_use", "fixed_trials", "control_in", "controls",
    }  # fmt: skip
    for table in travelling():
        for column in table.columns:
            is_amount = kind(column) in ("number", "integer") and unit_of(column) is None
            if is_amount and not (column.primary_key or column.foreign_keys):
                assert column.name in counts, f"{table.name}.{column.name} has no unit"
    assert SHARES


def test_a_formula_is_written_as_it_was_typed(sqlite_journal: Database) -> None:
    make = Make(sqlite_journal)
    for name in ("=1+1", "+4", "-x", "@SUM(A1)", "\ttab", "a,b", 'a "b"', "line\r\nline"):
        make.bean(name=name)
    files = files_of(out(sqlite_journal))
    rows = csv.DictReader(io.StringIO(files["data/bean.csv"].decode(), newline=""))
    assert [row["name"] for row in rows][:5] == ["=1+1", "+4", "-x", "@SUM(A1)", "\ttab"]
    says = descriptor_of(out(sqlite_journal))["description"]
    assert "a spreadsheet may take such a text for a formula" in str(says)


def test_the_demo_comes_back_to_the_byte(
    tmp_path: Path, run_folder: Path, another: Another
) -> None:
    config = demo_in(tmp_path, run_folder, date(2026, 11, 25))
    demo = Database(config.url)
    package = out(demo)
    demo.dispose()
    empty = another("empty")
    came = into(empty, package)
    assert came.is_empty
    assert out(empty) == package


def test_a_full_journal_comes_back_to_the_byte(full: Database, another: Another) -> None:
    package = out(full)
    empty = another("empty")
    into(empty, package)
    assert out(empty) == package


def test_pandas_reads_the_tables_with_their_types(full: Database) -> None:
    package = out(full)
    files = files_of(package)
    types = {"integer": "Int64", "number": "float64", "boolean": "boolean", "string": "str"}
    resources = descriptor_of(package)["resources"]
    assert isinstance(resources, list)
    for resource in resources:
        fields = {field["name"]: field["type"] for field in resource["schema"]["fields"]}
        moments = [name for name, of in fields.items() if of in ("date", "datetime")]
        frame = pandas.read_csv(
            io.BytesIO(files[resource["path"]]),
            dtype={name: types[of] for name, of in fields.items() if of in types},
            parse_dates=moments,
            keep_default_na=False,
            na_values={name: [""] for name, of in fields.items() if of != "string"},
        )
        assert list(frame.columns) == list(fields)
        for name in moments:
            if frame[name].notna().any():
                assert pandas.api.types.is_datetime64_any_dtype(frame[name]), name
    brews = pandas.read_csv(io.BytesIO(files["data/brew.csv"]), parse_dates=["brewed_at"])
    assert brews["dose_g"].dtype == "float64"
    assert str(brews["brewed_at"].dt.tz) == "UTC"
    assert brews["tds_pct"].max() == 1.31


def test_nothing_but_the_models_decides_what_travels() -> None:
    """A table that nobody thought of comes along; one with a secret column does not."""
    metadata = MetaData()
    plain = Table("plain", metadata, Column("id", Integer, primary_key=True))
    secret = Table("other", metadata, Column("token_hash", String(64), primary_key=True))
    assert (tables.travels(plain), tables.travels(secret)) == (True, False)
