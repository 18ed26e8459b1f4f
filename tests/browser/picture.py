"""The picture in the README, taken of the demo household: `make picture`."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.browser.screenshots import journals, opened
from tests.support.browser import chromium_path, launch, visit, window

PICTURE = Path(__file__).resolve().parents[2] / "seed_demo" / "side-by-side.png"
SIZE = {"width": 1180, "height": 1000}


def main() -> int:
    if chromium_path() is None:
        print("Chromium is not installed on this machine.")
        return 1
    with tempfile.TemporaryDirectory() as home, sync_playwright() as playwright:
        browser = launch(playwright)
        with (
            opened(journals(Path(home))["full"]) as (url, addresses),
            window(browser, url, SIZE, "light") as (context, _ear),
        ):
            page = context.new_page()
            visit(page, addresses["side_by_side.show"])
            page.screenshot(path=PICTURE)
        browser.close()
    print(f"Taken: {PICTURE}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
