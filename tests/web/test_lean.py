"""Sheets and scripts go out without comments and indentation, and say the same."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from flask.testing import FlaskClient

STATIC = Path(__file__).parents[2] / "static"
FILES = sorted(str(path.relative_to(STATIC)) for path in STATIC.glob("*/*.*s"))


def _words(text: str, comments: str) -> str:
    return re.sub(r"\s+", "", re.sub(comments, "", text, flags=re.MULTILINE | re.DOTALL))


@pytest.mark.parametrize("name", FILES)
def test_all_but_comments_and_spaces_arrives(client: FlaskClient, name: str) -> None:
    source = (STATIC / name).read_text(encoding="utf-8")
    sent = client.get(f"/static/{name}?v=1")
    comments = r"/\*.*?\*/" if name.endswith("css") else r"^[ ]*//[^\n]*$"
    assert _words(sent.text, comments) == _words(source, comments)
    assert len(sent.text) < len(source)
    assert sent.mimetype in ("text/css", "text/javascript")
    assert "immutable" in sent.headers["Cache-Control"]


@pytest.mark.parametrize("name", [name for name in FILES if name.endswith("js")])
def test_no_text_of_a_script_goes_over_several_lines(name: str) -> None:
    """The lines of one would lose their indentation."""
    for line in (STATIC / name).read_text(encoding="utf-8").splitlines():
        assert line.count("`") % 2 == 0, line


def test_other_files_and_other_places_are_served_as_before(client: FlaskClient) -> None:
    with client.get("/static/favicon.svg") as picture:
        assert picture.mimetype == "image/svg+xml"
    assert client.get("/static/css/none.css").status_code == 404
    assert client.get("/static/../pyproject.toml").status_code == 404
    assert client.get("/static/..%2fapp%2fconfig.css").status_code == 404
