"""Forty lines pasted in a browser become questions, a tap a group; without scripts, too."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.similar.measured import groups_in
from tests.support.browser import PHONE, visit

pytestmark = pytest.mark.browser

FORTY = [text for texts in groups_in("first").values() for text in texts][:40]
GATHER = "Gather as one question"


def paste(page: Page, *lines: str) -> None:
    visit(page, "/questions/")
    page.get_by_role("link", name="Inbox").click()
    page.get_by_role("link", name="Paste asks").first.click()
    page.get_by_label("Asks, one a line").fill("\n".join(lines))
    page.get_by_role("button", name="Note them").click()
    expect(page.get_by_role("heading", name="Inbox", exact=True)).to_be_visible()


def gather_all(page: Page) -> int:
    """Tap the first group until none is left; how many taps."""
    taps = 0
    while page.get_by_role("button", name=GATHER).count():
        left = page.get_by_role("button", name=GATHER).count()
        page.get_by_role("button", name=GATHER).first.click()
        expect(page.get_by_role("button", name=GATHER)).to_have_count(left - 1)
        taps += 1
    return taps


def test_forty_lines_are_gathered_with_one_tap_a_group_and_one_tap_takes_a_group_back(
    phone: Page,
) -> None:
    paste(phone, *FORTY)
    expect(phone.get_by_text("40 asks noted.")).to_be_visible()
    assert phone.get_by_role("checkbox").count() == 40
    groups = phone.get_by_role("button", name=GATHER).count()
    alone = phone.get_by_role("button", name="Make it a question").count()
    assert (groups, alone) == (9, 2)
    assert gather_all(phone) == groups
    phone.get_by_role("button", name="Take it back").click()
    expect(phone.get_by_role("button", name=GATHER)).to_have_count(1)
    assert gather_all(phone) == 1
    visit(phone, "/questions/?sort=often")
    counted = phone.get_by_text("asked 5 times")
    assert counted.count() >= 2
    more = phone.get_by_role("button", name="Asked once more").first
    more.click()
    expect(phone.get_by_text("Asked once more.")).to_be_visible()
    expect(phone.get_by_text("asked 6 times")).to_have_count(1)


def test_without_scripts_lines_are_pasted_gathered_and_counted(
    browser: Browser, address: str
) -> None:
    context = browser.new_context(base_url=address, java_script_enabled=False, viewport=PHONE)
    page = context.new_page()
    paste(page, *FORTY[:9])
    assert gather_all(page) == 2
    visit(page, "/questions/")
    page.get_by_role("button", name="Asked once more").first.click()
    expect(page.get_by_text("Asked once more.")).to_be_visible()
    page.get_by_role("button", name="Take it back").click()
    expect(page.get_by_text("The ask is in the bin.")).to_be_visible()
    context.close()


def test_too_many_lines_come_back_with_a_message_beside_the_field(desktop: Page) -> None:
    visit(desktop, "/questions/asks/new")
    lines = "\n".join(f"Is it worth it, number {n}?" for n in range(5000))
    box = desktop.get_by_label("Asks, one a line")
    box.evaluate("(box, lines) => { box.value = lines }", lines)
    desktop.get_by_role("button", name="Note them").click()
    expect(desktop.locator("#text-error")).to_contain_text("These are 5,000 lines.")
    assert box.input_value() == lines
