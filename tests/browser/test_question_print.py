"""A question on paper: one sheet, light, without buttons, with its sources."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from app import create_app
from tests.support.browser import DESKTOP, visit, window
from tests.support.demo import demo_in
from tests.support.server import served

pytestmark = pytest.mark.browser
MARGIN = "12mm"
LONG_PAGES = date(2026, 11, 29)  # of four days tried, the one whose questions have most to show


@pytest.mark.parametrize("sheet", ["A4", "Letter"])
def test_every_question_of_the_household_prints_on_one_sheet(
    browser: Browser, tmp_path: Path, run_folder: Path, sheet: str
) -> None:
    config = demo_in(tmp_path, run_folder, LONG_PAGES)
    with (
        served(create_app(config)) as address,
        window(browser, address, DESKTOP, "dark") as (context, ear),
    ):
        page = context.new_page()
        for number in range(1, 8):
            visit(page, f"/questions/{number}")
            page.emulate_media(media="print")
            margin = dict.fromkeys(("top", "right", "bottom", "left"), MARGIN)
            paper = page.pdf(format=sheet, margin=margin, print_background=True)
            assert len(re.findall(rb"/Type\s*/Page\b", paper)) == 1
            for words in ("Change", "Take off", "Add evidence", "Write the answer"):
                for found in page.get_by_text(words, exact=True).all():
                    expect(found).to_be_hidden()
            expect(page.get_by_text("Formulas and sources")).to_be_visible()
            ground = page.evaluate(
                "getComputedStyle(document.querySelector('.card')).backgroundColor"
            )
            assert ground == "rgb(251, 253, 253)"
            page.emulate_media(media="null")
        assert not ear.troubles()
