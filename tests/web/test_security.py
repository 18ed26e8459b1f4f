"""Only this machine and only Oddcup's own pages may talk to the journal."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from app import create_app
from app.config import Config
from app.web.session import reading
from tests.migrations.rows import read_rows
from tests.support.addresses import is_api, some_values
from tests.support.factories import Make
from tests.support.page import form

STRANGERS = ("evil.example", "127.0.0.1.evil.example", "localhost.evil.example:80", "10.0.0.7")


@pytest.fixture
def guarded(app: Flask) -> FlaskClient:
    """A client as a browser is: with CSRF on."""
    app.config["WTF_CSRF_ENABLED"] = True
    return app.test_client()


def _posts(app: Flask) -> Iterator[str]:
    """An address for every route that changes something."""
    with app.test_request_context():
        for rule in app.url_map.iter_rules():
            if "POST" in (rule.methods or ()) and not is_api(rule):
                yield app.url_for(rule.endpoint, **some_values(rule))


@pytest.mark.parametrize("host", STRANGERS)
def test_a_page_of_a_strange_name_gets_nothing(client: FlaskClient, host: str) -> None:
    for path in ("/", "/brews/", "/static/css/tokens.css", "/no-such-page"):
        assert client.get(path, headers={"Host": host}).status_code == 400
    assert client.post("/brews/new", headers={"Host": host}).status_code == 400


@pytest.mark.parametrize("host", ["127.0.0.1", "127.0.0.1:8473", "localhost:8473"])
def test_this_machines_own_names_are_served(client: FlaskClient, host: str) -> None:
    assert client.get("/", headers={"Host": host}).status_code == 200


def test_no_form_is_taken_without_its_token(
    guarded: FlaskClient, app: Flask, full: dict[str, str], config: Config
) -> None:
    before = read_rows(config.url)
    for path in _posts(app):
        for data in ({}, {"csrf_token": ""}, {"csrf_token": "made up"}):
            assert guarded.post(path, data=data).status_code == 400, path
    assert read_rows(config.url) == before


def test_the_token_of_another_browser_is_refused(
    guarded: FlaskClient, app: Flask, make: Make
) -> None:
    make.brew()
    stolen = form(app.test_client().get("/brews/new").text, holding="entry_key")
    guarded.get("/brews/new")
    assert guarded.post("/brews/new", data=stolen).status_code == 400


def test_a_page_left_open_over_a_restart_still_saves(
    guarded: FlaskClient, config: Config, make: Make
) -> None:
    make.brew()
    page = guarded.get("/brews/new")
    left_open = form(page.text, holding="entry_key")
    cookie = guarded.get_cookie(f"oddcup_{config.port}")
    assert cookie
    restarted = create_app(config)
    again = restarted.test_client()
    again.set_cookie(cookie.key, cookie.value)
    assert again.post("/brews/new", data=left_open).status_code == 303
    restarted.extensions["oddcup_database"].dispose()


@pytest.mark.parametrize("site", ["cross-site", "same-site", "", "nonsense"])
def test_a_form_sent_by_another_site_is_refused(
    client: FlaskClient, app: Flask, full: dict[str, str], config: Config, site: str
) -> None:
    before = read_rows(config.url)
    for path in _posts(app):
        assert client.post(path, headers={"Sec-Fetch-Site": site}).status_code == 403, path
    assert read_rows(config.url) == before


@pytest.mark.parametrize("site", ["same-origin", "none"])
def test_its_own_form_is_taken(client: FlaskClient, make: Make, site: str) -> None:
    make.brew()
    own = form(client.get("/brews/new").text, holding="entry_key")
    answer = client.post("/brews/new", data=own, headers={"Sec-Fetch-Site": site})
    assert answer.status_code == 303


def test_every_page_tells_the_browser_to_be_strict(
    client: FlaskClient, full: dict[str, str]
) -> None:
    for path in [*full.values(), "/no-such-page"]:
        headers = client.get(path).headers
        policy = dict(rule.split(" ", 1) for rule in headers["Content-Security-Policy"].split("; "))
        assert policy["default-src"] == "'none'", path
        assert policy["script-src"] == "'self'", path
        assert policy["form-action"] == "'self'", path
        assert policy["frame-ancestors"] == "'none'", path
        assert "unsafe-inline" not in policy["style-src"], path
        assert headers["X-Content-Type-Options"] == "nosniff", path
        assert headers["Cross-Origin-Opener-Policy"] == "same-origin", path
        assert headers["Cross-Origin-Resource-Policy"] == "same-origin", path
        assert headers["Cache-Control"] == "no-store", path
        assert "Access-Control-Allow-Origin" not in headers, path


def test_pages_with_charts_are_as_strict_as_any(client: FlaskClient, full: dict[str, str]) -> None:
    shown = [client.get(path) for path in full.values()]
    assert any("data-chart" in page.text for page in shown)
    assert len({page.headers["Content-Security-Policy"] for page in shown}) == 1


def test_no_page_asks_for_the_chart_script_and_only_those_with_charts_know_it(
    client: FlaskClient, full: dict[str, str]
) -> None:
    for path in full.values():
        page = client.get(path).text
        asked_for = re.findall(r'<[^>]*(?:src|href)="([^"]*)"', page)
        assert not [address for address in asked_for if "plotly" in address], path
        if "data-chart" in page:
            assert 'data-plotly="/vendor/plotly-' in page, path
        elif "/worksheets/" not in path:  # whose answer may bring a chart later
            assert "js/chart" not in "".join(asked_for), path


def test_the_cookie_is_for_this_server_alone(guarded: FlaskClient, config: Config) -> None:
    answer = guarded.get("/brews/new")
    cookie = answer.headers["Set-Cookie"]
    assert cookie.startswith(f"oddcup_{config.port}=")
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie
    assert "Domain" not in cookie


def test_looking_changes_nothing(client: FlaskClient, full: dict[str, str], config: Config) -> None:
    before = read_rows(config.url)
    for path in full.values():
        client.get(path)
        client.head(path)
    assert read_rows(config.url) == before


def test_a_page_that_only_reads_cannot_write(app: Flask, make: Make) -> None:
    make.brew()
    with app.test_request_context():
        session = reading()
        with pytest.raises(DBAPIError, match=r"(?i)read-?only"):
            session.execute(text("UPDATE brew SET note = 'changed by looking'"))
        session.rollback()
