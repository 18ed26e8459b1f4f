"""From one brewer to a left and a right one, and to a fair test in both, on a phone."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.support.accessible import grave
from tests.support.factories import Make

pytestmark = pytest.mark.browser

FITS = "document.documentElement.scrollWidth <= document.documentElement.clientWidth"


def clean(page: Page) -> None:
    assert grave(page) == []
    assert page.evaluate(FITS)


def test_a_second_press_is_added_and_both_are_used_side_by_side(phone: Page, make: Make) -> None:
    press = make.brewer(name="Press", capacity_g=355.0)
    make.brew(brewer=press, dose_g=13.5, water_g=205, steep_s=95)
    phone.goto(f"/gear/brewers/{press.id}")
    phone.get_by_role("button", name="Add another one like this").tap()
    expect(phone.get_by_role("heading", level=1)).to_have_text("Press, right")
    expect(phone.get_by_text("They count as one")).to_be_visible()
    clean(phone)
    phone.get_by_role("link", name="Change").tap()
    expect(phone.get_by_label("Alike to")).to_have_value(str(press.id))
    clean(phone)
    phone.goto("/")
    phone.get_by_role("link", name="Two of it").first.tap()
    phone.locator("summary", has_text="Steep").tap()
    phone.get_by_label("B: Steep").fill("2:05")
    phone.get_by_role("button", name="Save both brews").tap()
    expect(phone).to_have_url(re.compile(r"/side-by-side/\d+/\d+$"))
    verdict = phone.get_by_text("one thing differs, the steep.")
    expect(verdict).to_contain_text("The two brewers are alike and count as one.")
    row = phone.locator("tr", has_text="alike")
    expect(row).to_contain_text("Press")
    expect(row).to_contain_text("Press, right")
    clean(phone)
