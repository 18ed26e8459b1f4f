"""A file that is too large: told as it is chosen, or in the form as it was typed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Brew
from tests.support.factories import Make

pytestmark = pytest.mark.browser
MB = 1024 * 1024
NAMES = {"/sheets/": "sheet", "/in-and-out/": "package", "/brews/new": "photo"}


@pytest.fixture
def large(tmp_path: Path) -> Path:
    path = tmp_path / "large.jpg"
    with path.open("wb") as file:
        file.truncate(40 * MB)
    return path


def test_it_is_told_as_it_is_chosen_and_nothing_is_sent(
    phone: Page, make: Make, large: Path
) -> None:
    make.brew()
    sent: list[str] = []
    phone.on("request", lambda request: sent.append(request.method))
    for path, name in NAMES.items():
        phone.goto(path)
        field = phone.locator(f"[name={name}]")
        for fold in phone.locator("details:not([open])", has=field).all():
            fold.locator("summary").first.click()
        field.set_input_files(large)
        told = phone.locator(f"#{name}-size")
        expect(told).to_contain_text("12 MB")
        if name == "photo":
            fold = phone.locator("details.fold", has=field).locator(".fold-value")
            expect(fold).to_have_text("large.jpg")
            steep = phone.locator("details.fold", has=phone.locator("[name=stirs]"))
            steep.locator("summary").click()
            steep.locator("[name=stirs]").fill("1")
            expect(steep.locator(".fold-value")).to_contain_text(re.compile(r"1 stir( ·|$)"))
        field.locator("xpath=ancestor::form").locator("button:not([formaction])").last.click()
        expect(field).to_be_focused()
        field.set_input_files([])
        expect(told).to_have_count(0)
    assert "POST" not in sent


def test_without_scripts_what_was_typed_comes_back(
    browser: Browser, address: str, make: Make, large: Path, journal: Database
) -> None:
    make.brew()
    context = browser.new_context(base_url=address, java_script_enabled=False)
    page = context.new_page()
    page.goto("/brews/new")
    page.locator("details", has=page.locator("[name=note]")).locator("summary").first.click()
    page.locator("[name=note]").fill("Sweet as it cools")
    page.locator("[name=photo]").set_input_files(large)
    with page.expect_navigation() as went:
        page.locator("#brew-form button.primary").first.click()
    assert went.value.status == 413
    expect(page.locator("#photo-error")).to_contain_text("This photo is too large")
    expect(page.locator("[name=note]")).to_have_value("Sweet as it cools")
    context.close()
    with Session(journal.reader) as session:
        assert session.scalar(select(func.count()).select_from(Brew)) == 1
