"""A trial of A – not A, and one of same–different, on a phone: from the plan to the key."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from app.database import Database
from tests.support.blind import all_trials, rows
from tests.support.factories import Make

pytestmark = pytest.mark.browser

WIDEST = 390  # CSS pixels of a phone
SHOWN = re.compile("Right answer|Not this time")
WAYS = {"claim": "these ways of brewing", "brewing": "every cup its own"}


def fits(page: Page) -> None:
    assert page.evaluate("document.documentElement.scrollWidth") <= WIDEST, page.url


def pour_here(page: Page) -> None:
    """By the helper, on the same phone."""
    page.get_by_role("link", name="I pour this trial").tap()
    page.get_by_role("button", name="I pour, and do not taste").tap()
    expect(page.get_by_role("heading", name="Serving card")).to_be_visible()
    fits(page)


def hand_back(page: Page) -> None:
    page.get_by_role("button", name="Poured: cover the key").tap()
    page.get_by_role("link", name="For the taster: go on").tap()
    expect(page.get_by_text("Rinse with water before the first cup")).to_be_visible()
    fits(page)


def answer(page: Page, words: str) -> None:
    page.get_by_role("button", name=words, exact=True).tap()
    expect(page.get_by_role("heading", name=SHOWN)).to_be_visible()
    fits(page)


def test_one_cup_of_a_not_a_is_planned_served_and_answered(phone: Page, journal: Database) -> None:
    phone.goto("/blind/new")
    phone.get_by_label("Cup A", exact=True).fill("stirred once")
    phone.get_by_label("Cup B", exact=True).fill("not stirred")
    phone.get_by_text("Choose otherwise").tap()
    phone.get_by_text("That the two recipes or filters do").tap()
    phone.get_by_text("Each cup is a brew of its own").tap()
    phone.get_by_text("One coded cup: is it A?").tap()
    phone.get_by_label("Taste a cup known to be A first").check()
    phone.locator("label.choice", has_text="Somebody else pours").tap()
    phone.get_by_label("Name of a new taster").fill("Fern")
    phone.get_by_text("A medium one").tap()
    fits(phone)
    phone.get_by_role("button", name="Only save the plan").tap()
    expect(
        phone.get_by_text("A cup known to be A is tasted before each coded one.")
    ).to_be_visible()
    phone.get_by_role("button", name="Next trial").first.tap()
    pour_here(phone)
    (row,) = all_trials(journal)
    expect(phone.get_by_text("Reminder, tasted first")).to_be_visible()
    expect(phone.get_by_text(row.codes, exact=True)).to_be_visible()
    hand_back(phone)
    expect(phone.get_by_text(f"first, then the cup {row.codes}")).to_be_visible()
    answer(phone, "It is not A")
    (row,) = all_trials(journal)
    assert (row.answer, row.sure) == (2, None)
    right = "Right answer" if row.cups == "B" else "Not this time"
    expect(phone.get_by_role("heading", name=f"{right}: It is not A")).to_be_visible()


def test_a_pair_of_same_different_is_served_and_answered(
    phone: Page, make: Make, journal: Database
) -> None:
    test, _ = rows(make, [], method="same-different", **WAYS)
    phone.goto(f"/blind/{test.id}")
    phone.get_by_role("button", name="Next trial").first.tap()
    pour_here(phone)
    hand_back(phone)
    answer(phone, "The same")
    (row,) = all_trials(journal)
    right = "Right answer" if len(set(row.cups)) == 1 else "Not this time"
    expect(phone.get_by_role("heading", name=f"{right}: The same")).to_be_visible()


def test_a_not_a_alone_with_two_cups_on_a_tray(phone: Page, make: Make, journal: Database) -> None:
    test, _ = rows(make, [], method="A-not-A", pouring="solo", **WAYS)
    phone.goto(f"/blind/{test.id}")
    phone.get_by_role("button", name="Next trial").first.tap()
    expect(phone.get_by_text("turn the tray until you have lost count")).to_be_visible()
    fits(phone)
    phone.get_by_role("button", name="Poured and turned: taste").tap()
    phone.get_by_role("button", name="It is A", exact=True).tap()
    expect(phone.get_by_text("Now lift the cup you tasted (left).")).to_be_visible()
    fits(phone)
    phone.get_by_role("button", name="2", exact=True).tap()
    (row,) = all_trials(journal)
    right = "Right answer" if row.cups[1] == "A" else "Not this time"
    expect(phone.get_by_role("heading", name=f"{right}: It is A")).to_be_visible()
    expect(phone.get_by_text("Mark 2, tasted")).to_be_visible()
    fits(phone)


def test_packets_are_coded_ahead_and_brewed_one_by_one(
    phone: Page, make: Make, journal: Database
) -> None:
    test, _ = rows(make, [], method="A-not-A", pouring="coded", **WAYS)
    phone.goto(f"/blind/{test.id}")
    phone.get_by_role("link", name="Pack ahead").tap()
    phone.get_by_label("How many packets").fill("3")
    fits(phone)
    phone.get_by_role("button", name="I pack, and do not taste").tap()
    expect(phone.get_by_role("heading", name="What goes into each")).to_be_visible()
    fits(phone)
    phone.get_by_role("button", name="All packed: cover the keys").tap()
    expect(phone.get_by_text("3 packets coded and ready.")).to_be_visible()
    phone.go_back()
    expect(phone.get_by_role("heading", name="What goes into each")).to_have_count(0)
    phone.goto(f"/blind/{test.id}")
    phone.get_by_role("button", name="Next trial").first.tap()
    expect(phone.get_by_text("brewed now if it was not brewed before")).to_be_visible()
    (row,) = all_trials(journal)
    expect(phone.get_by_text(f"what is coded {row.codes}")).to_be_visible()
    answer(phone, "It is A")
    phone.goto(f"/blind/{test.id}")
    expect(phone.get_by_text("2 packets coded and ready.")).to_be_visible()
    fits(phone)
