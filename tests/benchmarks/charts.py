"""Charts as a phone sees them, first visit (cold) and second (warm), on the demo household.

A page's first chart against the first text of the same page without charts; a live chart after a
tap against the bare page of the same figure.
"""

from __future__ import annotations

import re
import tempfile
from collections.abc import Callable, Iterator, Mapping
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
ROUNDS, LIVE_ROUNDS = 7, 5
LIVE_CHARTS = ("over-time", "strength", "steep-time")
FIGURE = re.compile(r'data-chart="([^"]+)">(.*?)</script>', re.DOTALL)
VISITS = ("cold", "warm")

Times = dict[str, float]
Visit = Callable[[Page], float]


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
    took = _medians(
        household,
        {
            "chart": (True, lambda page: window.chart_painted(page, address)),
            "text": (False, lambda page: window.text_painted(page, address)),
        },
        ROUNDS,
    )
    for visit in VISITS:
        chart, text = took[f"chart {visit}"], took[f"text {visit}"]
        told = f"{chart:.0f} ms / {text:.0f} ms to the first text of the page without charts"
        yield Result(f"first chart of {name}, {visit}", FIRST_CHART, chart / text, told)


def _live(household: Household, chart: str) -> Iterator[Result]:
    address = household.page_of[chart]
    took = _medians(
        household,
        {
            "live": (True, lambda page: window.live_after_tap(page, address, chart)),
            "bare": (True, lambda page: window.alone_drawn(page, chart)),
        },
        LIVE_ROUNDS,
    )
    for visit in VISITS:
        live, bare = took[f"live {visit}"], took[f"bare {visit}"]
        told = f"{live:.0f} ms after the tap / {bare:.0f} ms for a bare page with the figure"
        yield Result(f"live chart {chart}, {visit}", LIVE, live / bare, told)


def _medians(household: Household, jobs: Mapping[str, tuple[bool, Visit]], rounds: int) -> Times:
    """In turns, so that a busy moment of the machine falls on all; one round goes uncounted."""
    took: dict[str, list[float]] = {f"{job} {visit}": [] for job in jobs for visit in VISITS}
    for count in range(-1, rounds):
        for job, (with_charts, visit) in jobs.items():
            with window.slow_phone(household.browser, household.url, charts=with_charts) as page:
                for which in VISITS:
                    spent = visit(page)
                    page.goto("about:blank")
                    if count >= 0:
                        took[f"{job} {which}"].append(spent)
    return {name: median(times) for name, times in took.items()}


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
