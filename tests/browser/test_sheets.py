"""Spreadsheets on a phone, from the file to the page of the first bag; taps are counted."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from flask import Flask
from playwright.sync_api import Page, expect

from app.sheets import keeping
from tests.support import sheets
from tests.support.thumb import Thumb, clean

pytestmark = pytest.mark.browser

Made = Callable[[Path], Path]
LONG = 2000
NEEDS_NOTHING = 5  # the file (two taps), the look at it, bringing it in, the bag


def long(folder: Path) -> Path:
    """So many lines that the writing has a page of its own."""
    return sheets.many(folder, LONG)


@pytest.mark.parametrize(
    ("made", "asked"),
    [
        (sheets.comma_decimals, ()),
        (sheets.us_units, ()),
        (sheets.merged_headings, ("Brewer of", "Whose scores")),
        (sheets.dates_as_text, ("Brewer of", "Whose scores")),
        (sheets.two_sheets, ("Whose scores",)),
        (long, ("Brewer of",)),
    ],
)
def test_from_the_file_to_the_first_bag(
    phone: Page, tmp_path: Path, made: Made, asked: tuple[str, ...]
) -> None:
    thumb, path = Thumb(), made(tmp_path)
    phone.goto("/sheets/")
    phone.get_by_label("Spreadsheet").set_input_files(path)
    thumb.taps += 2
    thumb.tap(phone.get_by_role("button", name="Look at it"))
    expect(phone.get_by_role("heading", name="What would come in")).to_be_visible()
    clean(phone)
    for label in asked:
        thumb.type(phone.get_by_label(re.compile(f"^{label}")), f"Plum {asked.index(label)}")
    if asked:
        thumb.tap(phone.get_by_role("button", name="Look again").first)
    offer = phone.get_by_role("button", name=re.compile("^Bring in .* brews$"))
    expect(offer).to_be_visible()
    clean(phone)
    thumb.tap(offer)
    if made is long:
        expect(phone.get_by_role("progressbar")).to_be_visible()
    expect(phone.get_by_role("heading", name="Came in")).to_be_visible()
    clean(phone)
    thumb.tap(phone.locator("a.row[href^='/bags/']").first)
    expect(phone).to_have_url(re.compile(r"/bags/\d+$"))
    name = "Bean 0" if made is long else sheets.BEANS[0]
    expect(phone.get_by_role("heading", level=1)).to_contain_text(name)
    assert thumb.taps == NEEDS_NOTHING + (2 * len(asked) + 1 if asked else 0)


def test_the_page_of_a_long_sheet_looks_again_by_itself(
    phone: Page, app: Flask, tmp_path: Path
) -> None:
    phone.goto("/sheets/")
    phone.get_by_label("Spreadsheet").set_input_files(sheets.us_units(tmp_path))
    phone.get_by_role("button", name="Look at it").tap()
    expect(phone.get_by_role("heading", name="What would come in")).to_be_visible()
    config = app.config["JOURNAL"]
    turn = keeping.take_turn(config, 1)
    assert turn
    keeping.tell(config, 1, keeping.Progress(700, LONG))
    phone.goto("/sheets/1/progress")
    clean(phone)
    keeping.tell(config, 1, keeping.Progress(1500, LONG))
    expect(phone.get_by_text("1500 of")).to_be_visible()
    turn.release()
