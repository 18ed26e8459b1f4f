"""Every figure of the project can be settled and drawn, and Plotly takes what was settled."""

from __future__ import annotations

import copy
import json
import re
from pathlib import Path
from xml.etree import ElementTree

import plotly.graph_objects
import pytest

import app.charts
from app.charts.figure import Figure
from app.charts.still.draw import alone, inline
from app.charts.still.settle import settled
from app.charts.still.signs import Signs
from tests.charts.still import gallery
from tests.charts.still.gallery import figures
from tests.charts.still.known import unknown

ALL = figures()
EACH = pytest.mark.parametrize("figure", ALL.values(), ids=ALL.keys())
THEME = {
    f"--{name}": "#123456"
    for name in ("ink", "ink-soft", "line", "line-strong", "table", "inset", "cup-a", "cup-b")
} | {f"--series-{n}": "#654321" for n in range(1, 6)}


@EACH
def test_the_drawer_knows_everything_that_is_in_it(figure: Figure) -> None:
    assert unknown(figure) == []


def test_every_chart_of_the_project_is_looked_at() -> None:
    parts = {"__init__", "figure", "cups", "in_view"}
    charts = {path.stem for path in Path(app.charts.__file__).parent.glob("*.py")} - parts
    looked_at = set(
        re.findall(r"from app\.charts\.(\w+) import", Path(gallery.__file__).read_text())
    )
    assert charts <= looked_at


@EACH
def test_it_is_well_formed_and_each_id_stands_once(figure: Figure) -> None:
    for svg in (inline(settled(figure), "c", "A & B"), alone(settled(figure), "A < B", THEME)):
        root = ElementTree.fromstring(svg)  # noqa: S314  our own
        ids = [node.get("id") for node in root.iter() if node.get("id")]
        assert len(ids) == len(set(ids))
        tags = {node.tag.rpartition("}")[2] for node in root.iter()}
        assert tags <= {"svg", "g", "defs", "use", "path", "rect", "text", "tspan", "title", "desc"}


@EACH
def test_no_number_is_missing_or_without_end(figure: Figure) -> None:
    svg = re.sub(r"<(text|tspan|title|desc)[^>]*>[^<]*", "", inline(settled(figure), "c", "t"))
    assert not re.search(r"nan|inf|None|e[+-]?\d", svg)


@EACH
def test_plotly_takes_the_settled_figure(figure: Figure) -> None:
    made = settled(figure)
    plotly.graph_objects.Figure(made)
    json.dumps(made, allow_nan=False)


@EACH
def test_the_given_figure_stays_as_it_is(figure: Figure) -> None:
    before = copy.deepcopy(figure)
    inline(settled(figure), "c", "t")
    assert repr(figure) == repr(before)


@EACH
def test_a_file_names_colours_and_holds_no_address(figure: Figure) -> None:
    svg = alone(settled(figure), "t", THEME)
    assert "var(" not in svg
    assert re.findall(r"https?://[^\"]*", svg) == ["http://www.w3.org/2000/svg"]
    both = alone(settled(figure), "t", THEME, THEME)
    assert set(re.findall(r"var\((--[\w-]+)\)", both)) <= set(re.findall(r"(--[\w-]+):#", both))


def test_a_key_that_is_not_drawn_is_told() -> None:
    figure = {"data": [{"type": "scatter", "mode": "lines", "x": [], "y": [], "hole": 1}]}
    assert unknown({**figure, "layout": {"grid": {}}}) == ["data hole", "layout grid"]


def test_words_of_a_figure_are_text_and_nothing_else() -> None:
    svg = inline(settled(ALL["odd"]), "c", "<script>1</script>")
    assert "<script" not in svg
    texts = ["".join(node.itertext()) for node in ElementTree.fromstring(svg).iter()]  # noqa: S314
    assert "<script>alert(1)</script> & more".replace(" ", "") in {
        t.replace(" ", "") for t in texts
    }
    assert 'a <b> & "c"' in texts
    assert "כוס א" in texts


def test_the_decimal_sign_is_the_household_s() -> None:
    made = settled(ALL["strength"], Signs(","))
    assert all("." not in text for text in made["layout"]["yaxis"]["ticktext"])
    assert any("," in text for text in made["layout"]["yaxis"]["ticktext"])
    assert "0,1" in settled(ALL["evidence-far"], Signs(","))["layout"]["yaxis"]["ticktext"]
