"""Each picture of a chart agrees with the live chart, and its words have room at any width."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from importlib.metadata import distribution
from pathlib import Path

import pytest
from flask import Flask
from playwright.sync_api import Browser, Page
from sqlalchemy.orm import Session

from app import create_app
from app.charts.figure import Figure
from app.charts.still.draw import inline
from app.charts.still.settle import settled
from tests.charts.still.gallery import figures
from tests.support.addresses import pages
from tests.support.browser import DESKTOP, window
from tests.support.demo import demo_in

pytestmark = pytest.mark.browser

ROOT = Path(__file__).resolve().parents[2]
AGREE = (ROOT / "tests/support/agree.js").read_text()
SHEETS = [ROOT / "static/css" / name for name in ("tokens.css", "charts.css")]
PLOTLY = "plotly/package_data/plotly.min.js"
WIDTHS = (262, 330, 470, 900)  # of phones 320 and 390 px wide, half a desktop, all of it
TOKEN = re.compile(r"(--[\w-]+):\s*(#[0-9a-f]{6})\b")
PARTS = re.compile(
    r'<div class="chart-box" id="([\w-]+)">(<svg.*?</svg>)</div>\s*'
    r'<script type="application/json" data-chart="\1">(.*?)</script>',
    re.DOTALL,
)


@pytest.fixture(scope="module")
def bench(browser: Browser) -> Iterator[Page]:
    """An empty page with Plotly and the sheets of pictures."""
    with window(browser, "about:blank", DESKTOP) as (context, _):
        page = context.new_page()
        page.set_content("<!doctype html><style>body { margin: 0 }</style>")
        page.add_script_tag(path=str(distribution("plotly").locate_file(PLOTLY)))
        for sheet in SHEETS:
            page.add_style_tag(content=sheet.read_text())
        yield page


def differences(page: Page, figure: Figure, svg: str, width: int) -> list[str]:
    colours = dict(TOKEN.findall(SHEETS[0].read_text()))
    painted = re.sub(r"var\((--[\w-]+)\)", lambda t: colours[t[1]], json.dumps(figure))
    given = {"figure": json.loads(painted), "svg": svg, "width": width}
    found: list[str] = page.evaluate(AGREE, given)
    return found


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", figures())
def test_a_figure_and_its_picture_agree(bench: Page, name: str, width: int) -> None:
    made = settled(figures()[name])
    assert differences(bench, made, inline(made, "c", name), width) == []


def test_every_chart_of_the_demo_agrees(bench: Page, tmp_path: Path, run_folder: Path) -> None:
    app = create_app(demo_in(tmp_path, run_folder))
    drawn = {f"{at} {name}": part for at, name, *part in _charts(app)}
    assert len(drawn) >= 14
    for name, (svg, figure) in drawn.items():
        for width in WIDTHS:
            assert differences(bench, json.loads(figure), svg, width) == [], (name, width)


def _charts(app: Flask) -> Iterator[tuple[str, str, str, str]]:
    """Of every page: its address, the chart's name, picture and figure."""
    with Session(app.extensions["oddcup_database"].reader) as session:
        found = pages(app, session)
    client = app.test_client()
    for at in found.values():
        for name, svg, figure in PARTS.findall(client.get(at).text):
            yield at, name, svg, figure


def test_a_point_moved_by_two_pixels_is_told(bench: Page) -> None:
    made = settled(figures()["trend"])
    elsewhere = settled(figures()["trend"])
    elsewhere["data"][0]["y"][0] += 0.1
    assert differences(bench, made, inline(elsewhere, "c", "c"), 330) != []
