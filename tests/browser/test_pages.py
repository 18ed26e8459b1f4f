"""Every page of the demo household, in Chromium: quiet, accessible, no wider than the window."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from flask import Flask
from playwright.sync_api import Browser, Page
from sqlalchemy.orm import Session

from app import create_app
from tests.support.addresses import pages
from tests.support.browser import DESKTOP, PHONE, visit, window
from tests.support.demo import demo_in
from tests.support.server import served

pytestmark = pytest.mark.browser
SIZES = {"phone": PHONE, "desktop": DESKTOP}
GRAVE = {"serious", "critical"}


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


@pytest.mark.parametrize("half", [0, 1])
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", SIZES)
def test_every_page_is_quiet_fits_and_is_accessible(
    browser: Browser, url: str, found: dict[str, str], size: str, scheme: str, half: int
) -> None:
    axe, findings = Axe(), []
    with window(browser, url, SIZES[size], scheme) as (context, ear):
        page = context.new_page()
        for endpoint, address in list(found.items())[half::2]:
            answer = visit(page, address)
            assert answer is not None
            if answer.status != 200:
                findings.append(f"{endpoint}: status {answer.status}")
            findings += [f"{endpoint}: {line}" for line in _grave(axe, page)]
            if _too_wide(page):
                findings.append(f"{endpoint}: wider than the window")
        findings += ear.troubles()
    assert not findings, "\n".join(findings)


def _grave(axe: Axe, page: Page) -> list[str]:
    violations = axe.run(page).response["violations"]
    return [
        f"{found['id']} at {found['nodes'][0]['target']}"
        for found in violations
        if found["impact"] in GRAVE
    ]


def _too_wide(page: Page) -> bool:
    return bool(page.evaluate("document.documentElement.scrollWidth > innerWidth"))
