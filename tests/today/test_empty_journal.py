"""A journal without a single row: every place opens, says what will be here, offers a step."""

from __future__ import annotations

import pytest
from flask import Flask
from flask.testing import FlaskClient

from app.config import Config
from tests.support.addresses import is_api, listed
from tests.support.page import text

PLACES = (
    "today.index",
    "brews.index",
    "tastings.index",
    "side_by_side.index",
    "bags.index",
    "filters.index",
    "recipes.index",
    "gear.index",
)


def _address(app: Flask, endpoint: str, **values: object) -> str:
    with app.test_request_context():
        return app.url_for(endpoint, **values)


def test_every_page_that_needs_no_row_opens(client: FlaskClient, app: Flask) -> None:
    rules = [r for r in app.url_map.iter_rules() if not r.arguments and not is_api(r)]
    for rule in rules:
        if "GET" in (rule.methods or ()):
            answer = client.get(_address(app, rule.endpoint), follow_redirects=True)
            assert answer.status_code == 200, rule.rule


@pytest.mark.parametrize("endpoint", PLACES)
def test_an_empty_place_offers_a_first_step(client: FlaskClient, app: Flask, endpoint: str) -> None:
    page = client.get(_address(app, endpoint)).text
    main = page.partition("<main")[2]
    assert "<a " in main or "<form" in main
    assert len(text(main).split()) > 8


def test_the_first_page_offers_the_demo_household(client: FlaskClient, config: Config) -> None:
    """Beside a journal in a file; a shared one on a server is no place for it."""
    offered = 'action="/demo"' in client.get("/").text
    assert offered == (config.sqlite_path is not None)


def test_a_row_that_is_not_there_is_said_so(client: FlaskClient, app: Flask) -> None:
    """Every address that names a row, looked at and posted to."""
    for rule in app.url_map.iter_rules():
        if not set(rule.arguments) - set(listed(rule)) or rule.endpoint in ("static", "plotly"):
            continue  # names no row
        if is_api(rule):
            continue
        missing = {name: 12345 + place for place, name in enumerate(sorted(rule.arguments))}
        missing |= listed(rule)
        path = _address(app, rule.endpoint, **missing)
        for method in (rule.methods or set()) & {"GET", "POST"}:
            answer = client.open(path, method=method)
            assert answer.status_code == 404, f"{method} {path}"
            assert "<main" in answer.text
