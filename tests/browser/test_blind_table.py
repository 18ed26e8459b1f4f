"""Several tasters at one table: the household's screen, and guests on their own phones."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import ExitStack
from typing import Any

import pytest
from flask import Flask
from playwright.sync_api import Browser, Page, expect

from app.database import Database
from app.web.security import open_to_network
from tests.support.blind import all_trials, right_places
from tests.support.browser import MACHINE, PHONE, Ear, window

pytestmark = pytest.mark.browser

CODE = re.compile(r"\b[2-9A-HJKMNP-Z]{3}-[2-9A-HJKMNP-Z]{3}\b")


@pytest.fixture
def guests(app: Flask, browser: Browser, address: str, ears: list[Ear]) -> Iterator[list[Page]]:
    """Two phones on the home network that are not paired yet."""
    open_to_network(app, [MACHINE])
    at = address.replace("127.0.0.1", MACHINE)
    with ExitStack() as stack:
        pages = []
        for _ in range(2):
            context, ear = stack.enter_context(window(browser, at, PHONE))
            ears.append(ear)
            pages.append(context.new_page())
        yield pages
        troubles = [line for ear in ears for line in ear.troubles()]
    assert not troubles, "\n".join(troubles)


def _pair(household: Page, guest: Page, name: str) -> None:
    """The household makes the taster's code, the guest types it in."""
    household.get_by_role("button", name=f"A code for {name}’s own phone").click()
    expect(household.get_by_role("heading", name=f"Pair {name}’s phone")).to_be_visible()
    code = CODE.search(household.inner_text("main"))
    assert code
    guest.goto("/pair")
    guest.get_by_label("Code").fill(code.group())
    guest.get_by_label("Name of this device").fill(f"{name}'s phone")
    guest.get_by_role("button", name="Pair this device").tap()
    expect(guest.get_by_role("heading", name=f"{name}’s trials")).to_be_visible()
    household.get_by_role("link", name="Back to the test").click()


def _fits(page: Page) -> bool:
    return bool(page.evaluate("document.documentElement.scrollWidth <= innerWidth"))


def test_two_guests_taste_on_their_own_phones(
    desktop: Page, guests: list[Page], journal: Database
) -> None:
    desktop.goto("/blind/new")
    desktop.get_by_label("Cup A", exact=True).fill("fresh paper")
    desktop.get_by_label("Cup B", exact=True).fill("paper on its third use")
    desktop.get_by_text("Choose otherwise").click()
    desktop.get_by_text("Each has trials and codes of their own").click()
    desktop.get_by_text("Somebody else pours", exact=False).click()
    desktop.get_by_label("Name of a new taster").fill("Juniper")
    desktop.get_by_text("Name of a new taster").scroll_into_view_if_needed()
    desktop.get_by_label("Names of new tasters").fill("Hazel")
    desktop.get_by_text("Only a large one").click()
    desktop.get_by_role("button", name="Start this test").click()
    for guest, name in zip(guests, ("Juniper", "Hazel"), strict=True):
        _pair(desktop, guest, name)
        expect(guest.get_by_text("No trial yet")).to_be_visible()

    desktop.get_by_role("button", name="A trial for everybody").click()
    for guest in guests:
        guest.locator(".rows a").tap()  # the page has noticed by itself that there is a trial
        expect(guest.get_by_role("heading", name="Your cups are not served yet")).to_be_visible()
        assert guest.get_by_role("link", name="Log a brew").count() == 0
        assert _fits(guest)
    desktop.get_by_role("button", name="I pour, and taste none of them").click()
    rows = all_trials(journal)
    for row in rows:
        for code in row.codes.split():
            expect(desktop.get_by_text(code, exact=True)).to_be_visible()
    desktop.get_by_role("button", name="All poured: cover the keys").click()
    assert rows[0].codes.split()[0] not in desktop.locator("body").inner_text()

    for guest, row in zip(guests, rows, strict=True):
        _answer(guest, row, right_places(journal, row.id)[0])
        expect(guest.get_by_role("heading", name="Right answer", exact=False)).to_be_visible()
        assert _fits(guest)
    desktop.reload()
    expect(desktop.get_by_text("2 of 2 tasters picked the odd cup", exact=False)).to_be_visible()
    expect(desktop.get_by_text("Each taster gave one answer", exact=False)).to_be_visible()


def _answer(guest: Page, row: Any, place: int) -> None:
    guest.get_by_text(row.codes.split()[place - 1], exact=True).tap()
    guest.get_by_role("button", name="I am sure").tap()


def test_a_guest_who_types_another_address_gets_nothing(
    desktop: Page, guests: list[Page], ears: list[Ear], journal: Database
) -> None:
    for ear in ears:
        ear.expect("status of 403")
    desktop.goto("/blind/new")
    desktop.get_by_label("Cup A", exact=True).fill("one")
    desktop.get_by_label("Cup B", exact=True).fill("other")
    desktop.get_by_text("Choose otherwise").click()
    desktop.get_by_text("Each has trials and codes of their own").click()
    desktop.get_by_text("Somebody else pours", exact=False).click()
    desktop.get_by_label("Name of a new taster").fill("Juniper")
    desktop.get_by_label("Names of new tasters").fill("Hazel")
    desktop.get_by_text("Only a large one").click()
    desktop.get_by_role("button", name="Start this test").click()
    _pair(desktop, guests[0], "Juniper")
    desktop.get_by_role("button", name="A trial for everybody").click()
    own, other = all_trials(journal)
    for path in (f"/blind/trials/{other.id}", f"/blind/trials/{own.id}/pour", "/blind/1/pour", "/"):
        guests[0].goto(path)
        expect(guests[0].get_by_text("for one taster of one blind test")).to_be_visible()
    guests[0].goto(f"/blind/trials/{own.id}")
    expect(guests[0].get_by_role("heading", name="Your cups are not served yet")).to_be_visible()
