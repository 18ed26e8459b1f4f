"""Spreadsheets as people keep them, each written anew; all amounts and names are invented."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from pathlib import Path

from openpyxl import Workbook

START = date(2024, 3, 4)
BEANS = ("Low Meadow", "Ninth Terrace", "Quiet Slope")
Table = list[list[object]]


def comma_decimals(folder: Path, lines: int = 24) -> Path:
    """Semicolons between cells, a comma before decimals, days as day.month.year."""
    head = ["Datum", "Uhrzeit", "Kaffee", "Röster", "Röstdatum", "Zubereitung", "Kaffeemenge",
            "Wasser", "Temperatur", "Zeit", "Mühle", "Mahlgrad", "Filter", "Bewertung",
            "Getrunken von", "Notiz"]  # fmt: skip
    rows: Table = [
        [
            _on(n).strftime("%d.%m.%Y"), f"7:{n % 50:02}", BEANS[n // 9], "Hof Unterwegs",
            _roasted(n, 8).strftime("%d.%m.%Y"), "Pressbrüher",
            f"{16.2 + n % 4 / 10:.1f}".replace(".", ","), str(251 + n % 3),
            f"{91.5 + n % 2}".replace(".", ","), f"2:{n % 5 + 10}", "Handmühle", "mittel fein",
            "Papier rund", str(5 + n % 4), "Ada", "mild" if n % 6 == 0 else "",
        ]
        for n in range(lines)
    ]  # fmt: skip
    return _csv(folder / "kaffee.csv", [head, *rows], delimiter=";", encoding="cp1252")


def us_units(folder: Path, lines: int = 24) -> Path:
    """Ounces and °F, month before day, AM and PM, stars for a score."""
    head = [
        "Brew Date",
        "Time",
        "Coffee",
        "Roast Date",
        "Brewer",
        "Dose (oz)",
        "Water (fl oz)",
        "Temp °F",
        "Brew Time",
        "Grinder Setting",
        "Rating out of 5",
        "Taster",
        "Weather",
    ]
    rows: Table = [
        [
            _on(n).strftime("%m/%d/%Y"), f"{6 + n % 3}:{n % 50:02} {'AM' if n % 4 else 'PM'}",
            BEANS[n // 9], _roasted(n, 6).strftime("%m/%d/%y"), "Garden press",
            f"{0.58 + n % 3 / 100:.2f}", f"{8.6 + n % 4 / 10:.1f}", str(199 + n % 6),
            f"{2 + n % 2} min {n % 6 * 5} s", str(20 + n % 4), str(2 + n % 4), "Mo",
            "rain" if n % 5 == 0 else "dry",
        ]
        for n in range(lines)
    ]  # fmt: skip
    return _csv(folder / "brews-us.csv", [head, *rows])


def merged_headings(folder: Path, lines: int = 24) -> Path:
    """Headings over two lines, the upper ones merged, under a title."""
    book = Workbook()
    sheet = book.active
    sheet.append(["My brews since spring"])
    sheet.append([])
    sheet.append(["When", "Coffee", "", "Recipe", "", "", "Filter", "", "Taste", ""])
    sheet.append(
        [
            "Date",
            "Bean",
            "Roast date",
            "Dose (g)",
            "Water (g)",
            "Steep",
            "Name",
            "Use",
            "Liking",
            "Notes",
        ]
    )
    for upper in ("B3:C3", "D3:F3", "G3:H3", "I3:J3"):
        sheet.merge_cells(upper)
    for n in range(lines):
        sheet.append([
            datetime.combine(_on(n), time(7, n)), BEANS[n // 9],
            datetime.combine(_roasted(n, 9), time()), 17.3 + n % 3 / 10, 268 + n % 4,
            time(2, 20 + n % 10), "Cloth disc", n + 1, 4 + n % 5, "clear" if n % 7 == 0 else None,
        ])  # fmt: skip
    return _saved(book, folder / "merged.xlsx")


def dates_as_text(folder: Path, lines: int = 24) -> Path:
    """Days in words, amounts with their units beside them, a score out of 100, no time of day."""
    head = [
        "Day",
        "Beans",
        "Coffee",
        "Water",
        "Ratio",
        "Water temp",
        "Steep time",
        "Filter type",
        "Score /100",
        "Remarks",
    ]
    rows: Table = [
        [
            _on(n).strftime("%a, %d %b %Y" if n % 2 else "%B %d, %Y").replace(" 0", " "),
            BEANS[n // 9], f"{15.8 + n % 3 / 10:.1f} g", "" if n % 4 == 0 else f"{249 + n % 5} g",
            "1:15.7", f"{92 + n % 3} °C", f"{140 + n % 20}", "Flat paper", str(61 + n % 30), "",
        ]
        for n in range(lines)
    ]  # fmt: skip
    return _csv(folder / "text-dates.csv", [head, *rows], delimiter="\t", encoding="utf-16")


def two_sheets(folder: Path, lines: int = 24) -> Path:
    """The second of two sheets has the brews, the first one shopping."""
    book = Workbook()
    shopping = book.active
    shopping.title = "Shopping"
    for row in (["Item", "Price"], ["Filters", 4.2], ["Kettle", 31]):
        shopping.append(row)
    brews = book.create_sheet("Brews")
    brews.append(["Date", "Bean", "Brewer", "Dose", "Water", "TDS", "Press", "Score", "Comment"])
    brews.append(["", "", "", "g", "g", "%", "s", "1-9", ""])
    for n in range(lines):
        brews.append([
            datetime.combine(_on(n), time()), BEANS[n // 9], "Hill press", 18.1, 283 + n % 3, 1.31,
            24 + n % 4, 5 + n % 3, "second cup" if n % 8 == 0 else None,
        ])  # fmt: skip
    return _saved(book, folder / "two-sheets.xlsx")


FIVE = (comma_decimals, us_units, merged_headings, dates_as_text, two_sheets)


def many(folder: Path, lines: int) -> Path:
    """A long table that needs nothing asked but the brewer."""
    head = [
        "date",
        "time",
        "bean",
        "dose",
        "water",
        "temperature",
        "steep",
        "liking",
        "taster",
        "note",
    ]
    rows: Table = [
        [
            (date(2008, 1, 1) + timedelta(days=n // 4)).isoformat(),
            f"{6 + n % 4 * 2}:{n % 60:02}", f"Bean {n // 40 % 200}", f"{15.2 + n % 30 / 10:.1f}",
            240 + n % 40, 90 + n % 8, 120 + n % 90, 1 + n % 9, "Ada", "" if n % 3 else f"line {n}",
        ]
        for n in range(lines)
    ]  # fmt: skip
    return _csv(folder / "many.csv", [head, *rows])


def _on(n: int) -> date:
    return START + timedelta(days=n * 2 + (n > 11))


def _roasted(n: int, rest_days: int) -> date:
    return START + timedelta(days=20 * (n // 9) - rest_days)


def _csv(
    path: Path, rows: Sequence[Sequence[object]], delimiter: str = ",", encoding: str = "utf-8"
) -> Path:
    with path.open("w", encoding=encoding, newline="") as file:
        csv.writer(file, delimiter=delimiter).writerows(rows)
    return path


def _saved(book: Workbook, path: Path) -> Path:
    book.save(path)
    return path
