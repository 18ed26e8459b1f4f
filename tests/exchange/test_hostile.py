"""A package that is broken, or made to do harm, is refused in words, and changes nothing."""

from __future__ import annotations

import csv
import io
import json
import stat
import zipfile
from collections.abc import Callable
from contextlib import nullcontext
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import Database
from app.exchange import archive
from app.exchange.problems import Refused
from app.models import Base
from app.revisions import head
from tests.exchange.conftest import changed, files_of, into, out, packed
from tests.migrations.filling import fill
from tests.support.factories import Make

Another = Callable[[str], Database]
DESCRIPTOR = "datapackage.json"


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory, sqlite_template: Path) -> bytes:
    """The package of a journal with rows in every table."""
    path = tmp_path_factory.mktemp("whole") / "journal.db"
    path.write_bytes(sqlite_template.read_bytes())
    journal = Database(f"sqlite:///{path}")
    fill(Make(journal), head())
    package = out(journal)
    journal.dispose()
    return package


@pytest.fixture
def empty(another: Another) -> Database:
    return another("empty")


def _refused(journal: Database, package: bytes) -> str:
    """What is said; the journal has no row afterwards."""
    with pytest.raises(Refused) as refused:
        into(journal, package)
    with Session(journal.reader) as session:
        for table in Base.metadata.tables.values():
            assert session.scalar(select(func.count()).select_from(table)) == 0
    return str(refused.value)


@pytest.mark.parametrize("name", [
    "../journal.db", "/etc/passwd", "C:\\journal.db", "data\\brew.csv", "data/../../x.csv",
    "photos/../x.jpg", "photos/brew_photo-1.jpg/x", "data/brew.csv ", "data/device.csv",
    "photos/brew_photo-1.php", "data/Brew.csv",
])  # fmt: skip
def test_paths_that_are_none_of_ours(empty: Database, whole: bytes, name: str) -> None:
    says = _refused(empty, packed(files_of(whole) | {name: b"x"}))
    assert "is no file of a journal" in says


def test_links_and_names_that_are_there_twice(empty: Database, whole: bytes) -> None:
    for change in ("link", "twice"):
        file = io.BytesIO(whole)
        with zipfile.ZipFile(file, "a") as package:
            info = zipfile.ZipInfo("photos/brew_photo-77.jpg" if change == "link" else DESCRIPTOR)
            info.external_attr = (stat.S_IFLNK | 0o777) << 16 if change == "link" else 0
            with (
                pytest.warns(UserWarning, match="Duplicate") if change == "twice" else nullcontext()
            ):
                package.writestr(info, "/etc/passwd")
        says = _refused(empty, file.getvalue())
        assert {"link": "is a link", "twice": "twice"}[change] in says


def test_a_zip_bomb(empty: Database, whole: bytes) -> None:
    says = _refused(empty, packed(files_of(whole) | {"data/brew.csv": b"0" * 30_000_000}))
    assert "would unpack to 200 times its size" in says


def test_more_than_the_limit_in_all(
    empty: Database, whole: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(archive, "MOST_BYTES", 10_000)
    assert "Unpacked, the package would be larger" in _refused(empty, whole)


def test_parts_that_lie_over_each_other(empty: Database, whole: bytes) -> None:
    """A small zip whose entries all point at the same bytes."""
    big = b"".join(str(number).encode() for number in range(20_000))
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as package:
        for name, content in files_of(whole).items():
            package.writestr(name, content)
        package.writestr("photos/a-1.jpg", big)
        first = package.getinfo("photos/a-1.jpg")
        for number in range(2, 200):
            copy = zipfile.ZipInfo(f"photos/a-{number}.jpg")
            copy.compress_type, copy.header_offset = first.compress_type, first.header_offset
            copy.compress_size, copy.file_size, copy.CRC = (
                first.compress_size, first.file_size, first.CRC
            )  # fmt: skip
            package.filelist.append(copy)
            package.NameToInfo[copy.filename] = copy
    says = _refused(empty, file.getvalue())
    assert "damaged" in says


@pytest.mark.parametrize("text", [
    "", "{", "[]", "null", '{"name": "oddcup-journal"}', "[" * 100_000, '{"oddcup": 3}',
    '{"name": "oddcup-journal", "id": "x", "oddcup": {"format": 1, "revision": "0024"}}',
    '{"name": "oddcup-journal", "oddcup": {"format": "x", "revision": {}}}', "\ud800",
])  # fmt: skip
def test_descriptors_that_say_nothing_of_a_journal(
    empty: Database, whole: bytes, text: str
) -> None:
    content = text.encode("utf-8", "surrogatepass")
    assert _refused(empty, packed(files_of(whole) | {DESCRIPTOR: content}))


def _of_revision(package: bytes, revision: str, form: int = 1) -> bytes:
    files = files_of(package)
    read = json.loads(files[DESCRIPTOR])
    read["oddcup"] = {"format": form, "revision": revision}
    return packed(files | {DESCRIPTOR: json.dumps(read).encode()})


def test_newer_and_older_packages(empty: Database, whole: bytes) -> None:
    assert "written by a newer Oddcup" in _refused(empty, _of_revision(whole, "9999"))
    assert "written by a newer Oddcup" in _refused(empty, _of_revision(whole, head(), 2))
    assert "written by an older Oddcup" in _refused(empty, _of_revision(whole, "0012"))


def test_a_package_of_an_earlier_revision_is_brought_up(
    empty: Database, whole: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What it did not know takes its default: a table that is missing, and columns."""
    files = files_of(whole)
    del files["data/left_trial.csv"]
    rows = [row.split(",") for row in files["data/taster.csv"].decode().splitlines()]
    place = rows[0].index("binned_at")
    text = "\n".join(",".join(cell for i, cell in enumerate(r) if i != place) for r in rows)
    files["data/taster.csv"] = text.encode()
    package = packed(files)
    assert "is missing" in _refused(empty, package)
    monkeypatch.setattr(archive, "OLDEST", "0001")
    came = into(empty, _of_revision(package, "0023"))
    assert came.counts["taster"]["new"] == len(rows) - 1


BAD_CELLS = {
    "brew": {
        "dose_g": ["x", "1e999", "nan", "14,5", "-3", "", "９", "=1+1"],
        "brewed_at": ["yesterday", "2026-02-03", "2026-02-03T07:15:00", "99999-01-01T00:00:00Z"],
        "brewed_on": ["3 May", "2026-02-30"],
        "flipped": ["yes", "1", ""],
        "bag_id": ["99999", "9" * 30, "1.0", "-1", "", "0x1"],
        "note": ["n" * 4001, "null \0 byte"],
        "grind": ["finest"],
    },
    "change": {"before": ["{}", "[", "[NaN]", '["\\ud800"]', '["\\u0000"]', "9" * 5000]},
    "brew_photo": {"jpeg": ["../../etc/passwd", "data/brew.csv", "photos/brew_photo-99.jpg", ""]},
    "trial": {"poured_by": ["c" * 64, "browser x"], "cups": ["ABC", "", "AAAAAAAAA"]},
}  # fmt: skip


@pytest.mark.parametrize(
    ("table", "column", "cell"),
    [
        (table, column, cell)
        for table, columns in BAD_CELLS.items()
        for column, cells in columns.items()
        for cell in cells
    ],
)
def test_cells_that_no_column_takes(
    empty: Database, whole: bytes, table: str, column: str, cell: str
) -> None:
    says = _refused(empty, _with_cell(whole, table, column, cell))
    assert f"data/{table}.csv" in says
    assert "line 2" in says


def _with_cell(package: bytes, table: str, column: str, cell: str) -> bytes:
    files = files_of(package)
    name = f"data/{table}.csv"
    rows = list(csv.reader(io.StringIO(files[name].decode(), newline="")))
    rows[1][rows[0].index(column)] = cell
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\n").writerows(rows)
    return packed(files | {name: text.getvalue().encode()})


@pytest.mark.parametrize("content", [
    b"", b"\xff\xfe\x00", b"id\n", b"\x00\x00", "ä".encode("latin-1") * 50, b'"never closed',
    b"id,id\n1,1\n",
])  # fmt: skip
def test_tables_that_are_none(empty: Database, whole: bytes, content: bytes) -> None:
    assert "data/bean.csv" in _refused(empty, packed(files_of(whole) | {"data/bean.csv": content}))


def test_a_row_too_long_or_twice(empty: Database, whole: bytes) -> None:
    files = files_of(whole)
    lines = files["data/taster.csv"]
    said = _refused(empty, packed(files | {"data/taster.csv": lines + b"1,2,3,4,5,6\n"}))
    assert "has 6 cells" in said
    twice = lines + lines.split(b"\n")[1] + b"\n"
    assert "is there twice" in _refused(empty, packed(files | {"data/taster.csv": twice}))


def test_a_missing_file_is_named(empty: Database, whole: bytes) -> None:
    for name in ("data/brew.csv", DESCRIPTOR):
        files = files_of(whole)
        del files[name]
        assert f"{name} is missing" in _refused(empty, packed(files))


def test_cut_short_and_flipped_bits(empty: Database, whole: bytes) -> None:
    for cut in (0, 10, len(whole) // 2, len(whole) - 5):
        _refused(empty, whole[:cut])
    for place in range(60, len(whole) - 200, len(whole) // 25):
        flipped = bytearray(whole)
        flipped[place] ^= 0xFF
        try:
            came = into(empty, bytes(flipped), dry=True)
        except Refused:
            continue
        assert came.is_empty  # what was flipped said nothing, such as a time


@settings(max_examples=40, deadline=None)
@given(st.binary(max_size=400))
def test_any_bytes_at_all(content: bytes) -> None:
    with pytest.raises(Refused), archive.opened(io.BytesIO(content)):
        pass


def test_many_problems_are_not_all_listed(empty: Database, another: Another) -> None:
    source = another("source")
    make = Make(source)
    for number in range(40):
        make.taster(name=f"T{number}")
    package = out(source)
    files = files_of(package)
    text = files["data/taster.csv"].replace(b"T", b"T" * 130)
    says = _refused(empty, packed(files | {"data/taster.csv": text}))
    assert "20 problems or more" in says
    assert says.count("\n") == 20


def test_a_formula_comes_in_as_a_text(empty: Database, another: Another) -> None:
    source = another("source")
    Make(source).taster(name="Tess")
    package = changed(out(source), "data/taster.csv", "Tess", "=HYPERLINK(A1)")
    into(empty, package)
    assert out(empty) == out(empty)
    assert b"=HYPERLINK(A1)" in files_of(out(empty))["data/taster.csv"]
