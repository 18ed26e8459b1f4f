"""Worksheets for tests: type into the rendered form, read the answer."""

from __future__ import annotations

import re
from html import unescape
from typing import Any
from urllib.parse import parse_qsl, urlsplit

from flask.testing import FlaskClient

from . import page
from .page import Values

A_DAY_S = "24:00:00"  # steeped to the end: what is reached is all of the equilibrium


def typed_into(client: FlaskClient, name: str, start: str = "", **typed: str) -> Values:
    """What the worksheet's form would send after typing."""
    opened = client.get(f"/worksheets/{name}{start}")
    assert opened.status_code == 200
    holding = next(iter(typed), None) or _any_field(opened.text)
    return page.filled(opened.text, holding=holding, **typed)


def ask(client: FlaskClient, name: str, start: str = "", **typed: str) -> str:
    """The whole page after typing, as its HTML."""
    values = typed_into(client, name, start, **typed)
    answer = client.get(f"/worksheets/{name}", query_string=values)
    assert answer.status_code == 200
    return answer.text


def said(client: FlaskClient, name: str, start: str = "", **typed: str) -> str:
    """The words of the page after typing."""
    return page.text(ask(client, name, start, **typed))


def brew_links(html: str) -> list[dict[str, str]]:
    """What each "Brew this" of the page puts into the brew form."""
    found = [unescape(href) for href in re.findall(r'href="(/brews/new\?[^"]*)"', html)]
    return [dict(parse_qsl(urlsplit(href).query, keep_blank_values=True)) for href in found]


def keep(client: FlaskClient, html: str, which: int = 0, **sent: str) -> Any:
    """Send the page's form that keeps its answer."""
    action = next(a["action"] for a, values in page.read(html).forms if "which" in values)
    return client.post(action, data={"which": str(which), **sent})


def _any_field(html: str) -> str:
    for attributes, values in page.read(html).forms:
        if attributes.get("id") == "worksheet":
            return next(iter(values))
    raise AssertionError("No worksheet on this page.")
