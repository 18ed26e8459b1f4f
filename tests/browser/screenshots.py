"""A picture of every page, phone and desktop, light and dark: `make screenshots`.

The demo household shows the pages full, a fresh journal shows them empty. Pictures go to
screenshots/; a page that logs an error or asks for anything off the machine is named, and the
command fails.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from flask import Flask
from playwright.sync_api import Browser, sync_playwright
from sqlalchemy.orm import Session

from app import create_app
from app.config import Config
from app.schema import upgrade
from seed_demo import ensure_demo
from tests.support.addresses import pages
from tests.support.browser import DESKTOP, PHONE, chromium_path, launch, visit, window
from tests.support.server import served

FOLDER = Path(__file__).resolve().parents[2] / "screenshots"
SIZES = {"phone": PHONE, "desktop": DESKTOP}


def main(wanted: list[str]) -> int:
    if chromium_path() is None:
        print("Chromium is not installed on this machine.")
        return 1
    troubles: list[str] = []
    with tempfile.TemporaryDirectory() as home, sync_playwright() as playwright:
        browser = launch(playwright)
        for name, app in journals(Path(home)).items():
            with opened(app) as (url, found):
                chosen = {k: v for k, v in found.items() if not wanted or k in wanted}
                troubles += _shoot(browser, url, chosen, FOLDER / name)
        browser.close()
    print("\n".join(troubles) or f"All pages are in {FOLDER}, none made trouble.")
    return 1 if troubles else 0


def journals(home: Path) -> dict[str, Flask]:
    full = Config(f"sqlite:///{home / 'demo.db'}", home, "for pictures", demo=True)
    empty = Config(f"sqlite:///{home / 'empty.db'}", home, "for pictures")
    ensure_demo(full)
    upgrade(empty.url)
    return {"full": create_app(full), "empty": create_app(empty)}


@contextmanager
def opened(app: Flask) -> Iterator[tuple[str, dict[str, str]]]:
    with Session(app.extensions["oddcup_database"].reader) as session:
        found = pages(app, session)
    with served(app) as url:
        yield url, found


def _shoot(browser: Browser, url: str, found: dict[str, str], folder: Path) -> list[str]:
    folder.mkdir(parents=True, exist_ok=True)
    troubles = []
    for size_name, size in SIZES.items():
        for scheme in ("light", "dark"):
            with window(browser, url, size, scheme) as (context, ear):
                page = context.new_page()
                for endpoint, address in found.items():
                    visit(page, address)
                    picture = folder / f"{endpoint}-{size_name}-{scheme}.png"
                    page.screenshot(path=picture, full_page=True)
                troubles += [f"{size_name} {scheme}: {line}" for line in ear.troubles()]
    return troubles


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
