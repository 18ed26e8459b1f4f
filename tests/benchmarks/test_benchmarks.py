"""The benchmark measures what it says: a journal of the stated shape, the same page, a verdict."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from app.backups.checks import find_damage
from app.config import Config
from tests.benchmarks.charts import Pair, missing
from tests.benchmarks.generate import FEW, write
from tests.benchmarks.pages import BOUNDED, template_alone
from tests.benchmarks.result import Result, table
from tests.benchmarks.site import Site
from tests.benchmarks.window import PARTS


@pytest.fixture(scope="module")
def journal(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("bench") / "journal.db"
    write(path, FEW)
    return path


@pytest.fixture
def site(journal: Path) -> Iterator[Site]:
    made = Site(journal)
    yield made
    made.close()


def numbers(journal: Path, query: str) -> tuple[float, ...]:
    with closing(sqlite3.connect(journal)) as raw:
        found: tuple[float, ...] = raw.execute(query).fetchone()
        return found


def test_the_journal_is_sound_and_of_the_stated_shape(journal):
    config = Config(url=f"sqlite:///{journal}", home=journal.parent, secret_key="x")  # noqa: S106
    assert find_damage(config) == []
    assert numbers(journal, "SELECT count(*) FROM brew") == (FEW,)
    assert numbers(journal, "SELECT count(*) FROM brew WHERE bag_id = 1") == (200,)
    assert numbers(journal, "SELECT count(*) FROM side_by_side") == (200,)
    most_paper_uses = """SELECT max(uses) FROM (
        SELECT count(*) AS uses FROM filter_use WHERE filter_id > 1 GROUP BY filter_id)"""
    assert numbers(journal, most_paper_uses) <= (8,)
    (metal,) = numbers(journal, "SELECT count(*) FROM filter_use WHERE filter_id = 1")
    assert 0.03 * FEW < metal < 0.07 * FEW
    (brews_a_bag,) = numbers(journal, "SELECT avg(n) FROM (SELECT count(*) n FROM brew "
                                      "WHERE bag_id > 1 GROUP BY bag_id)")  # fmt: skip
    assert 12 < brews_a_bag < 20


def test_every_page_is_reached(site):
    assert len(site.addresses()) > 30


# What a page of rows says as often as it shows one, and how often at least.
FULL_PAGES = {
    "blind.index": ('href="/blind/', 50),
    "blind.show": ('href="/blind/trials/', 40),
    "claimed.index": ('href="/blind/', 12),
    "questions.index": ('href="/questions/', 50),
    "questions.show": ('name="row_id"', 12),  # four of a kind; the sheets have the others
    "pieces.brews": ('name="row_id"', 10),
    "pieces.side_by_sides": ('name="row_id"', 10),
    "pieces.within": ('href="/brews/', 20),
    "asks.index": ('type="checkbox"', 40),  # of its first sheet
    "sittings.index": ('href="/sittings/', 50),
    "sittings.show": ("Rinse your mouth", 2),
    "readers.answers": (", no. ", 40),
}


def test_pages_of_evidence_are_measured_with_rows(site):
    addresses = site.addresses()
    for endpoint, (sign, least) in FULL_PAGES.items():
        page = site.rendered(addresses[endpoint]).decode()
        assert page.count(sign) >= least, endpoint


@pytest.mark.parametrize("endpoint", BOUNDED)
def test_plain_structures_draw_the_same_page(site, endpoint):
    """`template_alone` raises when they do not."""
    address = site.addresses()[endpoint]
    recorded = site.record(address)
    assert recorded.statements
    with template_alone(site.app, address, recorded) as draw:
        assert len(draw()) > 3000


@pytest.mark.parametrize(("ratio", "over"), [(1.9, False), (2.0, False), (2.01, True)])
def test_a_broken_bound_is_said(ratio, over):
    found = Result("a page", 2.0, ratio, "")
    assert found.over is over
    assert ("OVER" in table([found])) is over


def test_what_could_not_be_measured_counts_as_over():
    assert Result("a page", 2.0, float("nan"), "").over


def test_a_page_without_its_charts_is_the_same_page_but_for_them():
    page = (
        '<link rel="stylesheet" href="/static/css/parts.css"><link rel="stylesheet" '
        'href="/static/css/charts.css?v=1"><script type="module" src="/static/js/chart.js" '
        'data-plotly="/vendor/plotly-1.js"></script><p>Text</p><figure class="chart">a</figure>'
        "<p>More</p>"
    )
    left = '<link rel="stylesheet" href="/static/css/parts.css"><p>Text</p><p>More</p>'
    assert PARTS.sub("", page) == left


def test_times_are_held_against_those_of_the_same_round():
    pair = Pair([(20, 10), (300, 100), (24, 20)])
    assert pair.ratio == 2
    assert pair.told == "24 ms / 20 ms"


def test_without_a_browser_that_is_said(monkeypatch):
    monkeypatch.setattr("tests.benchmarks.charts.chromium_path", lambda: None)
    assert missing() == "Chromium is not installed on this machine"
