"""A phone and a desktop window on a served journal; skipped where Chromium is missing."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from flask import Flask
from playwright.sync_api import Browser, Page, expect, sync_playwright

from tests.support.browser import DESKTOP, PATIENCE_MS, PHONE, Ear, chromium_path, launch, window
from tests.support.server import served


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    if chromium_path() is None:
        pytest.skip("Chromium is not installed on this machine")
    expect.set_options(timeout=PATIENCE_MS)
    with sync_playwright() as playwright:
        chromium = launch(playwright)
        yield chromium
        chromium.close()


@pytest.fixture
def address(app: Flask) -> Iterator[str]:
    """The served journal (rows come from `make`), with CSRF on as for people."""
    app.config["WTF_CSRF_ENABLED"] = True
    with served(app) as url:
        yield url


@pytest.fixture
def ears() -> list[Ear]:
    """What the test's windows heard; `ears[0].expect("404")` for a trouble meant to happen."""
    return []


@pytest.fixture
def phone(browser: Browser, address: str, ears: list[Ear]) -> Iterator[Page]:
    """A page 390 by 844 wide with touch; any trouble it makes fails the test."""
    yield from _watched(browser, address, PHONE, ears)


@pytest.fixture
def desktop(browser: Browser, address: str, ears: list[Ear]) -> Iterator[Page]:
    """A page 1280 by 800 wide; any trouble it makes fails the test."""
    yield from _watched(browser, address, DESKTOP, ears)


def _watched(
    browser: Browser, address: str, size: dict[str, int], ears: list[Ear]
) -> Iterator[Page]:
    with window(browser, address, size) as (context, ear):
        ears.append(ear)
        yield context.new_page()
        troubles = ear.troubles()
    assert not troubles, "\n".join(troubles)
