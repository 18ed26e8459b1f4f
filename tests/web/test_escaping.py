"""What people write stays text on every page, and no template acts by itself."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from tests.support.factories import Make
from tests.support.hostile import MARKUP

TEMPLATES = Path(__file__).parent.parent.parent / "app" / "templates"
DRAWN_HERE = {"icons.html"}  # marks its own constant drawings as safe; no row reaches it


@pytest.mark.parametrize("path", sorted(TEMPLATES.rglob("*.html")), ids=lambda path: path.name)
def test_no_template_holds_script_style_or_handlers(path: Path) -> None:
    source = re.sub(r"{#.*?#}", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
    for tag in re.findall(r"<script\b[^>]*>", source):
        assert " src=" in tag or 'type="application/json"' in tag, tag
    assert not re.search(r"<style\b", source)
    assert not re.search(r"<[^>]*\s(?:style|on[a-z]+)\s*=", source)
    assert "javascript:" not in source
    assert "autoescape" not in source
    assert path.name in DRAWN_HERE or not re.search(r"\|\s*safe\b", source)


class _Page(HTMLParser):
    """What of a page could act by itself."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.acting: list[str] = []
        self.text = ""
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag in ("iframe", "object", "embed", "base", "style"):
            self.acting.append(tag)
        if tag == "script" and "src" not in given and given.get("type") != "application/json":
            self.acting.append("script")
        self.acting += [name for name in given if name == "style" or name.startswith("on")]
        for name in ("src", "href", "action", "formaction"):
            if name in given and not re.match(r"(/(?!/)|#|\?|$)", given[name]):
                self.acting.append(f"{name}={given[name]}")

    def handle_data(self, data: str) -> None:
        self.text += data


def test_text_stays_text_on_every_page(client: FlaskClient, full: dict[str, str]) -> None:
    shown_on = 0
    for path in full.values():
        page = client.get(path)
        assert page.status_code in (200, 303), path
        assert _Page(page.text).acting == [], path
        assert "<img src=x" not in page.text, path
        shown_on += MARKUP.split("{{")[0] in _Page(page.text).text
    assert shown_on > len(full) / 2


def test_what_was_typed_wrongly_comes_back_as_text(client: FlaskClient, make: Make) -> None:
    make.brew()
    typed = {"dose_g": MARKUP, "note": MARKUP, "grind_setting": MARKUP, "bag_id": MARKUP}
    answer = client.post("/brews/new", data=typed)
    assert answer.status_code == 422
    assert _Page(answer.text).acting == []
