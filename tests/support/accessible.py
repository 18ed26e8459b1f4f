"""What axe finds wrong with a page that somebody could not use it for."""

from collections.abc import Sequence
from typing import Any

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

GRAVE = {"serious", "critical"}
# All of axe's rules that look at colours (see `color.` in its rules' tags).
COLOUR_RULES = ("color-contrast", "link-in-text-block")
RUN = "options => axe.run(options).then(found => found.violations)"


def grave(page: Page, only: Sequence[str] = ()) -> list[str]:
    """Serious and critical violations of axe's rules, or of those named."""
    options: dict[str, Any] = {"resultTypes": ["violations"]}
    if only:
        options["runOnly"] = list(only)
    if page.evaluate("!window.axe"):
        page.evaluate(AXE_SCRIPT)
    return [
        f"{found['id']} at {found['nodes'][0]['target']}"
        for found in page.evaluate(RUN, options)
        if found["impact"] in GRAVE
    ]
