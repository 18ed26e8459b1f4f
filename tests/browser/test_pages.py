"""Every page of the demo household, in Chromium: quiet, accessible, no wider than the window."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask
from playwright.sync_api import Browser, Page
from sqlalchemy.orm import Session

from app import create_app
from tests.support.accessible import COLOUR_RULES, grave
from tests.support.addresses import pages
from tests.support.browser import DESKTOP, PHONE, switch, visit, window
from tests.support.demo import demo_in
from tests.support.server import served

pytestmark = pytest.mark.browser
SIZES = {"phone": PHONE, "desktop": DESKTOP}


@pytest.fixture(scope="module")
def household(tmp_path_factory: pytest.TempPathFactory, run_folder: Path) -> Flask:
    return create_app(demo_in(tmp_path_factory.mktemp("household"), run_folder))


@pytest.fixture(scope="module")
def found(household: Flask) -> dict[str, str]:
    with Session(household.extensions["oddcup_database"].reader) as session:
        return pages(household, session)


@pytest.fixture(scope="module")
def url(household: Flask) -> Iterator[str]:
    with served(household) as address:
        yield address


@pytest.mark.parametrize("quarter", range(4))
@pytest.mark.parametrize("size", SIZES)
def test_every_page_is_quiet_fits_and_is_accessible(
    browser: Browser, url: str, found: dict[str, str], size: str, quarter: int
) -> None:
    """Each page opens in one scheme and is switched to the other. That changes nothing but
    colours (tests/web/test_colours.py), so axe looks at nothing else the second time. A page
    that opens light on the phone opens dark on the desktop."""
    findings = []
    schemes = ["light", "dark"] if size == "phone" else ["dark", "light"]
    with window(browser, url, SIZES[size], schemes[0]) as (context, ear):
        page = context.new_page()
        for endpoint, address in list(found.items())[quarter::4]:
            answer = visit(page, address)
            assert answer is not None
            if answer.status != 200:
                findings.append(f"{endpoint}: status {answer.status}")
            opened = [*grave(page), *_too_wide(page)]
            schemes.reverse()
            switch(page, schemes[0])
            switched = [*grave(page, COLOUR_RULES), *_too_wide(page)]
            findings += [f"{endpoint} in {schemes[1]}: {line}" for line in opened]
            findings += [f"{endpoint} in {schemes[0]}: {line}" for line in switched]
        findings += ear.troubles()
    assert not findings, "\n".join(findings)


def _too_wide(page: Page) -> list[str]:
    wide = page.evaluate("document.documentElement.scrollWidth > innerWidth")
    return ["wider than the window"] if wide else []
