"""A ranking in Chromium: at a phone's width and a desktop's, and one tap to the pair to brew."""

from __future__ import annotations

import os
import re
from datetime import timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.support.asking import blind_test, trial
from tests.support.browser import visit
from tests.support.clock import FIRST_BREW
from tests.support.factories import Make
from tests.support.fits import misfits
from tests.support.thumb import clean

pytestmark = pytest.mark.browser

SHOTS = os.environ.get("ODDCUP_SHOTS")
NAMES = ("Long steep, late stir", "Two pours", "Short and fine", "Coarse overnight steep")
MET = ((0, 1), (0, 2), (1, 2), (0, 3), (1, 3))


def household(make: Make) -> None:
    """24 sighted preferences, every fifth the other way round, and 8 blind ones."""
    recipes = [make.recipe(name) for name in NAMES]
    for number in range(24):
        at = FIRST_BREW + timedelta(days=number)
        brews = [make.brew(recipe=recipes[n], brewed_at=at) for n in MET[number % len(MET)]]
        make.side_by_side(*brews, preference="b" if number % 7 == 6 else "a")
    one, other = (recipe.revisions[0].id for recipe in recipes[:2])
    who = make.taster(name="Sage")
    test = blind_test(
        make, "", who, method="preference", attribute="", more=None,
        a_revision_id=one, b_revision_id=other,
    )  # fmt: skip
    for number, answer in enumerate((1, 2, 1, 0, 1, 2, 1, 2), start=1):
        trial(make, test, who, number, "AB", answer=answer)


def look_at(page: Page, name: str) -> None:
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
        clean(page)
        if SHOTS:
            page.screenshot(path=Path(SHOTS) / f"{name}-{scheme}.png", full_page=True)


def test_on_a_phone_it_is_one_tap_to_the_pair_that_tells_most(phone: Page, make: Make) -> None:
    household(make)
    visit(phone, "/recipes")
    phone.get_by_role("link", name="Ranking", exact=True).click()
    look_at(phone, "phone")
    said = phone.locator("main").inner_text()
    first, _, second = said.partition("What would tell most next: ")[2].partition(" against ")
    phone.get_by_role("link", name=re.compile("Brew these two.*sighted")).click()
    expect(phone.get_by_role("heading", name="Log two cups")).to_be_visible()
    chosen = [
        phone.locator(f"select[name={letter}-revision_id] option:checked").text_content()
        for letter in "ab"
    ]
    assert chosen[0] == first
    assert second.startswith(f"{chosen[1]}.")


def test_on_a_desktop_all_of_it_fits(desktop: Page, make: Make) -> None:
    household(make)
    visit(desktop, "/ranking/")
    look_at(desktop, "desktop")
    assert misfits(desktop) == []


def test_an_empty_one_on_a_phone(phone: Page, make: Make) -> None:
    for name in NAMES[:2]:
        make.brew(recipe=make.recipe(name))
    visit(phone, "/ranking/")
    look_at(phone, "empty")
    expect(phone.locator(".chart")).to_have_count(0)
