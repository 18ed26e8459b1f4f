"""What a thumb does on a phone, counted. A field typed into counts twice: the tap, the typing."""

from __future__ import annotations

from playwright.sync_api import Locator, Page

from tests.support.accessible import grave

FITS = "document.documentElement.scrollWidth <= document.documentElement.clientWidth"


class Thumb:
    """Taps and types, and counts both."""

    def __init__(self) -> None:
        self.taps = 0

    def tap(self, place: Locator) -> None:
        place.tap()
        self.taps += 1

    def type(self, place: Locator, text: str) -> None:
        self.tap(place)
        place.fill(text)
        self.taps += 1


def clean(page: Page) -> None:
    """Nothing grave by axe, and nothing to scroll to sideways."""
    assert grave(page) == []
    assert page.evaluate(FITS)
