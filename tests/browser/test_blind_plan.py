"""Planning a blind test: which choices go together is seen at once, and one cannot go astray."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.support.browser import Ear

pytestmark = pytest.mark.browser
FITS = "document.documentElement.scrollWidth <= document.documentElement.clientWidth"


def option(page: Page, words: str):  # type: ignore[no-untyped-def]
    return page.locator("label.choice", has_text=words)


def test_a_choice_closes_what_does_not_go_with_it_and_says_why(phone: Page) -> None:
    phone.goto("/blind/new")
    assert phone.evaluate(FITS)
    brewing = phone.locator("#brewing")
    expect(option(phone, "Fresh for every trial").locator("input")).to_be_disabled()
    expect(brewing).to_contain_text("Closed: Fresh for every trial, Every cup by itself.")
    expect(option(phone, "Tetrad").locator("input")).to_be_enabled()

    option(phone, "These ways of brewing").click()
    expect(option(phone, "One brew of each").locator("input")).to_be_disabled()
    expect(option(phone, "Fresh for every trial").locator("input")).to_be_checked()
    expect(brewing).to_contain_text("Changed to: Fresh for every trial.")
    expect(phone.locator("#pouring")).to_contain_text("Changed to: Somebody else pours.")
    expect(phone.locator("#rule")).to_contain_text("Changed to: A fixed number.")
    expect(phone.get_by_label("Trials of A against A mixed in")).to_be_visible()
    expect(phone.get_by_text("the other stands out even if the recipe")).to_be_visible()

    phone.get_by_label("Trials of A against A mixed in").fill("9")
    phone.get_by_label("Trials of A against A mixed in").press("Tab")
    expect(phone.get_by_text("the other stands out even if the recipe")).to_have_count(0)
    option(phone, "Every cup by itself").click()
    expect(option(phone, "I pour for myself").locator("input")).to_be_enabled()
    assert phone.evaluate(FITS)


def test_only_what_is_asked_for_is_shown(phone: Page) -> None:
    phone.goto("/blind/new")
    expect(phone.get_by_label("What to taste for", exact=True)).to_be_hidden()
    expect(phone.get_by_label("Number of trials", exact=True)).to_be_hidden()
    option(phone, "Two cups: which has more").click()
    expect(phone.get_by_label("What to taste for", exact=True)).to_be_visible()
    option(phone, "A fixed number").click()
    expect(phone.get_by_label("Number of trials", exact=True)).to_be_visible()


def test_with_script_off_the_answer_keeps_everything_and_says_it_once(
    phone: Page, ears: list[Ear]
) -> None:
    ears[0].expect("422")
    phone.route(
        "**/plan*.js*", lambda route: route.fulfill(body="", content_type="text/javascript")
    )
    phone.goto("/blind/new")
    phone.get_by_label("Cup A", exact=True).fill("kettle water")
    phone.get_by_label("Cup B", exact=True).fill("water from the jug")
    option(phone, "These ways of brewing").click()
    option(phone, "Tetrad").click()
    phone.get_by_label("Name of a new taster").fill("Juniper")
    phone.get_by_text("Only a large one").click()
    phone.get_by_role("button", name="Start this test").click()
    expect(phone.get_by_text("can only show that these two brews differ")).to_have_count(1)
    expect(phone.get_by_text("keep their neighbours")).to_have_count(1)
    expect(phone.get_by_label("Cup A", exact=True)).to_have_value("kettle water")
    expect(option(phone, "Tetrad").locator("input")).to_be_checked()
