"""A file made to do harm, or none that can be read, is refused in words and changes nothing."""

from __future__ import annotations

import random
import re
import struct
import zipfile
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from time import perf_counter

import pytest
from flask.testing import FlaskClient
from openpyxl import Workbook
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.models import Brew
from app.spreadsheet import grids
from tests.sheets.conftest import Sender
from tests.support import page

MB = 1024**2
HEAD = "date,bean,brewer,dose,water,note\n"
LINE = "2025-01-14,Fig,Hill press,16.3,255,{}\n"
SHEET_XML = "xl/worksheets/sheet1.xml"


def _book(*rows: list[object]) -> bytes:
    book = Workbook()
    for row in rows:
        book.active.append(row)
    file = BytesIO()
    book.save(file)
    return file.getvalue()


def _replaced(part: str, content: bytes) -> bytes:
    """A workbook with another part in it."""
    file = BytesIO()
    whole = zipfile.ZipFile(BytesIO(_book(["date", "dose"], ["x", "y"])))
    with whole, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as made:
        for name in whole.namelist():
            made.writestr(name, content if name == part else whole.read(name))
    return file.getvalue()


def _forged(bomb: bytes) -> bytes:
    """The directory says that 100 bytes are in it."""
    at = bomb.index(b"PK\x01\x02")
    while bomb[at : at + 4] == b"PK\x01\x02":
        of = at + 46
        name, extra, said = struct.unpack("<HHH", bomb[at + 28 : at + 34])
        if bomb[of : of + name] == SHEET_XML.encode():
            return bomb[: at + 24] + struct.pack("<I", 100) + bomb[at + 28 :]
        at = of + name + extra + said
    raise AssertionError("no such part")


def _sheet_xml(rows: str, before: str = "") -> bytes:
    space = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    return f'{before}<worksheet xmlns="{space}"><sheetData>{rows}</sheetData></worksheet>'.encode()


def _laughs() -> bytes:
    entities = '<!ENTITY l0 "ha">' + "".join(
        f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 10)
    )
    cell = '<row r="1"><c r="A1" t="inlineStr"><is><t>&l9;</t></is></c></row>'
    return _replaced(SHEET_XML, _sheet_xml(cell, f"<!DOCTYPE w [{entities}]>"))


def _outside() -> bytes:
    cell = '<row r="1"><c r="A1" t="inlineStr"><is><t>&out;</t></is></c></row>'
    entity = '<!DOCTYPE w [<!ENTITY out SYSTEM "file:///etc/passwd">]>'
    return _replaced(SHEET_XML, _sheet_xml(cell * 2, entity))


def _many_sheets() -> bytes:
    book = Workbook()
    for n in range(1000):
        book.create_sheet(f"s{n}")
    file = BytesIO()
    book.save(file)
    return file.getvalue()


def _swollen() -> bytes:
    return _replaced(SHEET_XML, _sheet_xml(" " * 20 * MB))


def _wide_rows() -> bytes:
    """Thirty thousand lines that reach to the last column there is, in a small file."""
    rows = "".join(f'<row r="{n}"><c r="XFD{n}"/></row>' for n in range(1, 30_000))
    return _replaced(SHEET_XML, _sheet_xml(rows))


def _far_down() -> bytes:
    row = '<row r="{0}"><c r="A{0}" t="inlineStr"><is><t>date</t></is></c></row>'
    return _replaced(SHEET_XML, _sheet_xml(row.format(1) + row.format(99_999_999_999)))


NOISE = random.Random(14)
REFUSED: dict[str, tuple[Callable[[], bytes], str]] = {
    "nothing": (lambda: b"", grids.EMPTY),
    "empty lines": (lambda: b"\n \n\t\n", grids.EMPTY),
    "only headings": (lambda: HEAD.encode(), grids.NO_ROWS),
    "a book of headings": (lambda: _book(["date", "dose"]), grids.NO_ROWS),
    "10,000 columns": (lambda: b"a," * 10_000 + b"a\n1\n", "more than 120 columns"),
    "a line of ten million cells": (lambda: b"a,b\n" + b"," * 10 * MB + b"x\n", "120 columns"),
    "10,000 columns of a book": (lambda: _book(["a"] * 10_000, ["b"] * 10_000), "120 columns"),
    "rows up to the last column": (_wide_rows, "120 columns"),
    "a row far down": (_far_down, "more than 30000 rows"),
    "30,001 lines": (lambda: b"date,dose\n" + b"1,2\n" * 30_001, "more than 30000 rows"),
    "a document": (lambda: b"%PDF-1.7\n1 0 obj\n" + NOISE.randbytes(4000), "This is no table"),
    "an old spreadsheet": (lambda: b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" * 99, "save it as XLSX"),
    "NUL bytes": (lambda: HEAD.encode() + b"\0" * 500, grids.NO_TABLE),
    "UTF-16 without its mark": (lambda: (HEAD + LINE).encode("utf-16-le"), grids.NO_TABLE),
    "half a letter of UTF-16": (lambda: b"\xff\xfea\0b", grids.UNREAD),
    "noise": (lambda: b"\x81" + NOISE.randbytes(100_000), "Please save it as CSV"),
    "half a book": (lambda: _book(["date"], ["x"])[:2000], grids.BROKEN),
    "a zip of something else": (lambda: _zip("notes.txt"), grids.NO_TABLE),
    "a bomb": (_swollen, grids.SWOLLEN),
    "a bomb that says it is small": (lambda: _forged(_swollen()), grids.BROKEN),
    "entities of entities": (_laughs, grids.BROKEN),
    "an entity of this machine": (_outside, grids.BROKEN),
    "1,000 sheets": (_many_sheets, "more than 30 sheets"),
    "3,000 parts": (lambda: _zip(*(f"p{n}" for n in range(3000))), grids.SWOLLEN),
}  # fmt: skip


def _zip(*names: str) -> bytes:
    file = BytesIO()
    with zipfile.ZipFile(file, "w") as made:
        for name in names:
            made.writestr(name, "x")
    return file.getvalue()


def _beside(home: Path) -> set[str]:
    """What lies beside the journal, but for its own files and the sheets."""
    names = {path.name for path in home.iterdir()}
    return {name for name in names if not name.startswith("journal.db")} - {"sheets"}


@pytest.mark.parametrize("kind", REFUSED)
def test_what_cannot_be_taken_is_refused_in_words(sender: Sender, home: Path, kind: str) -> None:
    before = _beside(home)
    make, why = REFUSED[kind]
    content, start = make(), perf_counter()
    answer = sender.post(content, "brews.xlsx")
    assert perf_counter() - start < 20
    assert answer.status_code == 422
    error = re.search(r'id="sheet-error"[^>]*>(.*?)</', answer.text, re.DOTALL)
    assert error, page.text(answer.text)
    assert why in page.text(error[1]).replace("\xa0", " ")
    assert _beside(home) == before
    assert not (home / "sheets").exists()
    assert sender.count(Brew) == 0


def test_of_200_mb_only_the_start_is_read(client: FlaskClient, home: Path) -> None:
    class Body(BytesIO):
        def read(self, size: int | None = -1) -> bytes:
            assert size is not None
            assert 0 < size <= MB - self.tell(), "it was read"
            self.seek(self.tell() + size)
            return b"x" * size

    answer = client.post(
        "/sheets/", input_stream=Body(), content_type="multipart/form-data; boundary=x",
        environ_overrides={"CONTENT_LENGTH": str(200 * MB)},
    )  # fmt: skip
    assert answer.status_code == 413
    assert "The file is larger than 12 MB. Please split it." in page.text(answer.text)
    assert 'id="sheet-error"' in answer.text
    assert not (home / "sheets").exists()


@pytest.mark.parametrize(
    ("sent", "shown"),
    [
        ("../../x", "x"), ("C:\\x", "x"), ("..\\..\\etc\\passwd", "passwd"), ("/", "sheet"),
        ("..", ".."), ("a\u202egnp.csv", "agnp.csv"), ("<b>.csv", "<b>.csv"),
        ("n" * 500, "n" * 120),
    ],
)  # fmt: skip
def test_a_file_name_is_a_name_only(sender: Sender, home: Path, sent: str, shown: str) -> None:
    before = _beside(home)
    assert shown in sender.send((HEAD + LINE).encode(), sent)
    assert "<b>" not in sender.client.get(sender.at).text
    kept = {path.relative_to(home).as_posix() for path in (home / "sheets").rglob("*")}
    assert kept == {"sheets/1", "sheets/1/grids.json", "sheets/1/state.json"}
    assert _beside(home) == before
    sender.bring_in()
    assert sender.count(Brew) == 1
    assert not (home / "sheets").exists()


@pytest.mark.parametrize("kind", ["latin-1", "cp1252", "utf-8", "utf-8-sig", "utf-16"])
def test_letters_of_other_encodings_come_in(sender: Sender, kind: str) -> None:
    sender.send((HEAD + LINE.format("süß")).encode(kind))
    sender.bring_in()
    with Session(sender.journal.reader) as session:
        assert session.scalars(select(Brew.note)).one() == "süß"


def test_formulas_are_text(sender: Sender) -> None:
    """In a CSV, and in a book: where it has their value, that; where not, the formula is named."""
    told = "=cmd|' /C calc'!A0"
    sender.send((HEAD + LINE.format(f'"{told}"')).encode())
    sender.bring_in()
    with Session(sender.journal.reader) as session:
        assert session.scalars(select(Brew.note)).one() == told
    csv = sender.client.get("/brews/?as=csv").text
    assert f"'{told}" in csv
    shown = sender.send(_book(["date", "bean", "brewer", "dose", "water", "note"], [
        "2025-01-15", "Fig", "Hill press", "=16/2", 255, "=HYPERLINK(\"x\")",
    ]), "b.xlsx")  # fmt: skip
    assert "“=16/2” is no number." in shown
    sender.say(**{"cell-2-3": "8"})
    sender.bring_in()
    with Session(sender.journal.reader) as session:
        assert session.scalars(select(Brew.note).order_by(Brew.id.desc())).first() == (
            '=HYPERLINK("x")'
        )


def test_values_of_formulas_count_where_the_file_has_them(sender: Sender) -> None:
    def cells(row: int, *inner: str) -> str:
        of = "".join(f'<c r="{"ABCDEF"[n]}{row}" {xml}</c>' for n, xml in enumerate(inner))
        return f'<row r="{row}">{of}</row>'

    def text(said: str) -> str:
        return f't="inlineStr"><is><t>{said}</t></is>'

    rows = cells(1, *map(text, ("date", "bean", "brewer", "dose", "water", "note")))
    rows += cells(2, text("2025-01-14"), text("Fig"), text("Hill press"),
                  "><f>8*2</f><v>16</v>", "><v>255</v>",
                  't="str"><f>IF(1,"")</f><v></v>')  # fmt: skip
    sender.send(_replaced(SHEET_XML, _sheet_xml(rows)), "b.xlsx")
    sender.bring_in()
    with Session(sender.journal.reader) as session:
        brew = session.scalars(select(Brew)).one()
    assert (brew.dose_g, brew.note) == (16, "")


def test_a_cell_of_ten_megabytes_is_told_as_too_long(sender: Sender) -> None:
    shown = sender.send((HEAD + LINE.format("x" * 10 * MB)).encode())
    assert "This is longer than 4000 letters." in shown
    assert len(sender.client.get(sender.at).text) < 100_000


RUBBISH = {
    "column-0": "nonsense", "column-1": "\0", "column-99999": "dose_g", "column-x": "dose_g",
    "unit-3": "furlong", "unit-4": "°F", "cell-1-1": "x", "cell-2-3": "1e999",
    "cell-2-4": "9" * 400, "cell-999999-9999": "x",
    "cell--1-0": "x", "cell-٣-١": "x", "leave-999999": "on",
    "leave-٣": "on", "all_lines": "٣,-1,,1e9,99999999", "order": "ymd", "decimal": ";",
    "scale": "11", "new_kind": "boat", "brewer": "x" * 5000, "taster": "\u202e", "bean": "\0",
    "sheet": "²", "bring_twins": "?",
}  # fmt: skip


def test_rubbish_in_the_form_of_a_sheet_is_never_a_fault(sender: Sender) -> None:
    sender.send((HEAD + LINE + LINE).encode())
    for name, value in RUBBISH.items():
        for answer in (
            sender.client.post(sender.at, data={name: value}, follow_redirects=True),
            sender.client.post(f"{sender.at}/bring-in", data={name: value, "shown": value}),
        ):
            assert answer.status_code in (200, 303), (name, answer.status_code)
    assert sender.client.post(sender.at, data=RUBBISH, follow_redirects=True).status_code == 200
    assert sender.client.post(sender.at, data={"note": "x" * 2 * MB}).status_code == 413
    assert sender.count(Brew) == 0


@pytest.mark.parametrize("rest", ["", "/progress"])
@pytest.mark.parametrize("number", ["1", "999999999", "99999999999999999999"])
def test_a_sheet_that_is_not_kept_is_told(client: FlaskClient, number: str, rest: str) -> None:
    answer = client.get(f"/sheets/{number}{rest}", follow_redirects=True)
    assert answer.status_code == 404
    assert "There is nothing at this address." in page.text(answer.text) or (
        "no longer kept here" in page.text(answer.text)
    )
    for act in ("bring-in", "put-aside"):
        assert client.post(f"/sheets/{number}/{act}").status_code in (303, 404)
