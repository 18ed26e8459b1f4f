"""A sitting run from its sheet on a phone, every tap counted; and the sheet on paper."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta

import pytest
from playwright.sync_api import Page, expect
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Sitting
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.sitting import a_pair, line_ids, pair_lines, pair_of, question, save
from tests.support.thumb import Thumb, clean

pytestmark = pytest.mark.browser

BREWED_TAPS, TASTED_TAPS, CLOSED_TAPS = 4, 4, 1
PAGES = re.compile(rb"/Type\s*/Page[^s]")


def test_a_pair_on_a_phone_from_the_clock_to_what_it_found(
    phone: Page, journal: Database, make: Make, freeze: Callable[..., None]
) -> None:
    make.tasting(make.brew())
    sitting, _ = a_pair(journal, make)
    thumb = Thumb()
    phone.goto(f"/sittings/{sitting}")
    clean(phone)
    thumb.tap(phone.get_by_role("link", name="Brew along").first)
    thumb.tap(phone.get_by_role("button", name="Start"))
    thumb.tap(phone.get_by_role("button", name="Log both"))
    expect(phone.get_by_text("Both are filled in as the sitting has planned them.")).to_be_visible()
    thumb.tap(phone.get_by_role("button", name="Save both brews"))
    assert thumb.taps == BREWED_TAPS
    expect(phone.get_by_role("heading", name="Pour out, and let it cool")).to_be_visible()
    expect(phone.get_by_text(re.compile(r"4:\d\d left"))).to_be_visible()
    clean(phone)
    freeze(NOON + timedelta(minutes=6))
    phone.reload()
    thumb.taps = 0
    thumb.tap(phone.get_by_role("link", name="Taste both"))
    for cup, liking in (("a", "6"), ("b", "8")):
        thumb.tap(phone.locator(f"label:has(input[name='{cup}-liking'][value='{liking}'])"))
    thumb.tap(phone.get_by_role("button", name="Save"))
    assert thumb.taps == TASTED_TAPS
    expect(phone.get_by_text("Which did you prefer?").first).to_be_visible()
    clean(phone)
    thumb.taps = 0
    thumb.tap(phone.get_by_role("button", name="B, right"))
    expect(phone.get_by_text("3 of 4 lines done")).to_be_visible()
    freeze(NOON + timedelta(minutes=9))
    phone.reload()
    expect(phone.get_by_role("heading", name="What it found")).to_be_visible()
    clean(phone)
    phone.get_by_role("button", name="Close the sitting").tap()
    assert thumb.taps == CLOSED_TAPS
    expect(phone.get_by_text("The sitting is closed.")).to_be_visible()
    with Session(journal.reader) as session:
        assert session.get_one(Sitting, sitting).ended_at is not None
    phone.get_by_role("link", name="Write the answer").tap()
    expect(phone.get_by_role("textbox", name="Answer")).to_be_visible()


def test_two_windows_tick_at_once(
    phone: Page, desktop: Page, journal: Database, make: Make, freeze: Callable[..., None]
) -> None:
    sitting, _ = a_pair(journal, make)
    for page in (phone, desktop):
        page.goto(f"/sittings/{sitting}")
        page.get_by_text("Do it now, or skip it").first.click()
    phone.locator("#line-2").get_by_role("button", name="Done").tap()
    expect(phone.get_by_text("1 of 4 lines done")).to_be_visible()
    desktop.locator("#line-2").get_by_role("button", name="Done").click()
    expect(desktop.get_by_text("1 of 4 lines done")).to_be_visible()
    del freeze


def test_a_sheet_of_two_questions_prints_on_two_sheets_at_the_most(
    desktop: Page, journal: Database, make: Make
) -> None:
    like = make.brew(dose_g=13.5, water_g=215, steep_s=95, water_temp_c=91.0, stirs=0)
    first, second = question(make), question(make, "Does cooler water taste?")
    asked = [pair_of(first, like), pair_of(second, like, water_temp_c=84.0)]
    sitting = save(journal, asked, [*pair_lines(first), *pair_lines(second, 4)])
    desktop.goto(f"/sittings/{sitting}")
    clean(desktop)
    assert len(PAGES.findall(desktop.pdf(format="A4"))) <= 2
    desktop.emulate_media(media="print")
    for label in ("Places", "All places"):
        expect(desktop.get_by_role("navigation", name=label)).to_be_hidden()
    for button in desktop.get_by_role("button").all():
        expect(button).to_be_hidden()
    expect(desktop.locator(".sheet .box").first).to_be_visible()
    expect(desktop.locator("#line-1").get_by_text("dose 13.5")).to_be_visible()
    assert len(line_ids(journal, sitting)) == 8


def test_the_keyboard_alone_skips_a_line_with_its_reason(
    desktop: Page, journal: Database, make: Make
) -> None:
    sitting, _ = a_pair(journal, make)
    desktop.goto(f"/sittings/{sitting}")
    desktop.locator("#line-1 summary").focus()
    desktop.keyboard.press("Enter")
    desktop.keyboard.press("Tab")
    desktop.keyboard.type("The bag was empty")
    desktop.keyboard.press("Enter")
    expect(desktop.get_by_text("Skipped: The bag was empty")).to_be_visible()
