"""Charts as a phone sees them, first visit (cold) and second (warm), on the demo household.

A page's first chart against the first text of the same page without charts; a live chart after a
tap against the bare page of the same figure.
"""

from __future__ import annotations

import re
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from html import unescape
from pathlib import Path
from statistics import median
from typing import NamedTuple

from playwright.sync_api import Browser, Page, sync_playwright
from sqlalchemy.orm import Session

from app import create_app
from app.config import Config
from seed_demo import ensure_demo
from tests.benchmarks import window
from tests.benchmarks.result import Result
from tests.support.addresses import pages
from tests.support.browser import chromium_path, launch
from tests.support.server import served

FIRST_CHART, LIVE = 1.3, 1.5
ROUNDS, LIVE_ROUNDS = 15, 5
LIVE_CHARTS = ("over-time", "steep-time")
FIGURE = re.compile(r'data-chart="([^"]+)">(.*?)</script>', re.DOTALL)
VISITS = ("cold", "warm")

Visit = Callable[[Page], float]


class Job(NamedTuple):
    """What is timed, on the pages as they are or on those without their charts."""

    visit: Visit
    charts: bool = True


class Pair(NamedTuple):
    """Milliseconds of a job and of what it is held against, a pair a round."""

    times: list[tuple[float, float]]

    @property
    def ratio(self) -> float:
        """Of the two of one round, which a busy machine slows alike; the median of all rounds."""
        return median(ours / theirs for ours, theirs in self.times)

    @property
    def told(self) -> str:
        ours, theirs = (median(one) for one in zip(*self.times, strict=True))
        return f"{ours:.0f} ms / {theirs:.0f} ms"


class Household(NamedTuple):
    """A served demo journal; where its pages with charts are, and where each chart is."""

    browser: Browser
    url: str
    addresses: dict[str, str]
    page_of: dict[str, str]


def charts() -> Iterator[Result]:
    with _opened() as household:
        for name, address in household.addresses.items():
            yield from _first_chart(household, name, address)
        for chart in LIVE_CHARTS:
            yield from _live(household, chart)


def missing() -> str:
    """Why nothing can be measured here; empty where it can."""
    return "" if chromium_path() else "Chromium is not installed on this machine"


def _first_chart(household: Household, name: str, address: str) -> Iterator[Result]:
    took = _pairs(
        household,
        Job(lambda page: window.chart_painted(page, address)),
        Job(lambda page: window.text_painted(page, address), charts=False),
        ROUNDS,
    )
    for visit, pair in took.items():
        told = f"{pair.told} to the first text of the page without charts"
        yield Result(f"first chart of {name}, {visit}", FIRST_CHART, pair.ratio, told)


def _live(household: Household, chart: str) -> Iterator[Result]:
    address = household.page_of[chart]
    took = _pairs(
        household,
        Job(lambda page: window.live_after_tap(page, address, chart)),
        Job(lambda page: window.alone_drawn(page, chart)),
        LIVE_ROUNDS,
    )
    for visit, pair in took.items():
        told = f"{pair.told} for a bare page with the figure"
        yield Result(f"live chart {chart} after a tap, {visit}", LIVE, pair.ratio, told)


def _pairs(household: Household, ours: Job, theirs: Job, rounds: int) -> dict[str, Pair]:
    """First and second visits in windows of their own; one round goes uncounted.

    Who goes first changes from round to round, as with two cups.
    """
    took = {visit: Pair([]) for visit in VISITS}
    for count in range(-1, rounds):
        turns = (ours, theirs) if count % 2 else (theirs, ours)
        found = {job: _visits(household, job) for job in turns}
        for visit, times in zip(VISITS, zip(found[ours], found[theirs], strict=True), strict=True):
            if count >= 0:
                took[visit].times.append(times)
    return took


def _visits(household: Household, job: Job) -> list[float]:
    with window.slow_phone(household.browser, household.url, charts=job.charts) as page:
        took = []
        for _ in VISITS:
            took.append(job.visit(page))
            page.goto("about:blank")
        return took


@contextmanager
def _opened() -> Iterator[Household]:
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        config = Config(f"sqlite:///{home / 'demo.db'}", home, "for the benchmark", demo=True)
        ensure_demo(config)
        app = create_app(config)
        with Session(app.extensions["oddcup_database"].reader) as session:
            found = pages(app, session)
        here = app.test_client()
        figures, addresses, page_of = {}, {}, {}
        for name, address in found.items():
            for chart, figure in FIGURE.findall(here.get(address).text):
                figures[chart] = unescape(figure)
                addresses[name] = page_of[chart] = address
        app = create_app(config)  # one that has answered nothing yet takes further pages
        window.add_bare_pages(app, figures)
        with sync_playwright() as playwright, served(app) as url:
            browser = launch(playwright)
            yield Household(browser, url, addresses, page_of)
            browser.close()
