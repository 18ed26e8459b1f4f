"""Whether a page fits its window: nothing wider than it, nothing cut, no word in two pieces."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page

# A longer "word" is an address, or what somebody typed to try the page: it may break anywhere.
LONGEST_WORD = 24
# Charts follow their boxes a moment after these have changed.
CHARTS_FIT = """async () => {
    const charts = [...document.querySelectorAll('.js-plotly-plot')].filter(box => box.clientWidth);
    const fits = box => Math.abs(box.querySelector('.main-svg').clientWidth - box.clientWidth) < 2;
    for (let wait = 0; wait < 100 && !charts.every(fits); wait += 1)
        await new Promise(requestAnimationFrame);
}"""
MEASURE = Path(__file__).with_suffix(".js").read_text()


def misfits(page: Page) -> list[str]:
    """What of the page, as its window and letters are now, does not fit; folded rows included."""
    page.evaluate("for (const row of document.querySelectorAll('details')) row.open = true")
    page.evaluate(CHARTS_FIT)
    found: list[str] = page.evaluate(MEASURE, LONGEST_WORD)
    return found
