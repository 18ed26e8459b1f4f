"""Every page at every width and letter size: nothing scrolls sideways, is cut, or parts a word."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from flask import Flask
from playwright.sync_api import Browser, Page
from sqlalchemy import update
from sqlalchemy.orm import Session

from app import create_app
from app.config import Config
from app.models import Bag, Brew, FilterPack
from app.schema import upgrade
from tests.support.addresses import pages
from tests.support.browser import switch, visit, window
from tests.support.demo import demo_in
from tests.support.factories import Make
from tests.support.fits import misfits
from tests.support.household import furnish
from tests.support.server import served

pytestmark = pytest.mark.browser
# Width, height, and the size of the root's letters in percent. 640 is the desktop zoomed to 200 %.
VIEWS = (
    (320, 640, 100), (390, 844, 100), (640, 400, 100), (1280, 800, 100),
    (390, 844, 200), (1280, 800, 200),
)  # fmt: skip
DARK = ("dark", VIEWS[0])
OPENED = {"width": 1280, "height": 800}
# One word as long as a name may be, beside one of some length.
LONG_NAME = "Grandma’s " + "Nordwesthanglagenparzellenauslese" * 3


def demo(home: Path, run_folder: Path) -> Config:
    return demo_in(home, run_folder)


def empty(home: Path, _run_folder: Path) -> Config:
    config = Config(f"sqlite:///{home / 'empty.db'}", home, "for tests only")
    upgrade(config.url)
    return config


def hostile(home: Path, _run_folder: Path) -> Config:
    """Names as long as they may be, and numbers as large."""
    config = Config(f"sqlite:///{home / 'hostile.db'}", home, "for tests only")
    upgrade(config.url)
    journal = create_app(config).extensions["oddcup_database"]
    furnish(Make(journal), LONG_NAME)
    with Session(journal.writer) as session, session.begin():
        large = {"bypass_g": 39999.9, "ice_g": 39999.9, "steep_s": 172799, "stirs": 1000}
        session.execute(update(Brew).values(dose_g=1999.9, water_g=39999.9, **large))
        session.execute(update(Bag).values(net_g=99999.9, price_minor=99_999_999))
        session.execute(update(FilterPack).values(count=10000, price_minor=99_999_999))
    return config


@pytest.mark.parametrize("journal", [demo, empty, hostile])
def test_every_page_fits(
    browser: Browser, tmp_path: Path, run_folder: Path, journal: Callable[[Path, Path], Config]
) -> None:
    """Each page is opened once and put into every view, the first of them dark as well."""
    app = create_app(journal(tmp_path, run_folder))
    findings: list[str] = []
    with served(app) as url, window(browser, url, OPENED) as (context, ear):
        page = context.new_page()
        for endpoint, address in addresses(app).items():
            answer = visit(page, address)
            if answer is None or "text/html" not in answer.headers["content-type"]:
                continue
            findings += [f"{endpoint} {line}" for line in in_every_view(page)]
        findings += ear.troubles()
    assert not findings, "\n".join(findings)


def addresses(app: Flask) -> dict[str, str]:
    with Session(app.extensions["oddcup_database"].reader) as session:
        return pages(app, session)


def in_every_view(page: Page) -> list[str]:
    findings = []
    for scheme, (width, height, percent) in [*(("light", view) for view in VIEWS), DARK]:
        switch(page, scheme)
        page.set_viewport_size({"width": width, "height": height})
        page.evaluate("size => document.documentElement.style.fontSize = size", f"{percent}%")
        findings += [f"at {width} px, {percent} %, {scheme}: {line}" for line in misfits(page)]
    return findings
