"""To look at a page, by whatever method that only looks, changes nothing."""

from __future__ import annotations

import pytest
from flask import Flask
from flask.testing import FlaskClient

from app.config import Config
from app.web.session import writing
from tests.migrations.rows import read_rows
from tests.support.addresses import is_api, some_values

OPENS_A_SERVER = "/demo"


@pytest.fixture
def guarded(app: Flask) -> FlaskClient:
    """A client as a browser is: with CSRF on."""
    app.config["WTF_CSRF_ENABLED"] = True
    return app.test_client()


def _every_address(app: Flask) -> list[str]:
    """An address for every route, ids being 1."""
    with app.test_request_context():
        found = {
            app.url_for(rule.endpoint, **some_values(rule) | dict(rule.defaults or {}))
            for rule in app.url_map.iter_rules()
            if not is_api(rule)
        }
    return sorted(path for path in found if OPENS_A_SERVER not in path)


def test_a_page_asked_for_its_head_only_answers_as_when_it_is_opened(
    guarded: FlaskClient, full: dict[str, str]
) -> None:
    """C20: HEAD on the change form of a pack or filter went on into saving it."""
    for path in full.values():
        looked, headed = guarded.get(path), guarded.head(path)
        assert headed.status_code == looked.status_code, path
        assert headed.data == b""
        looked.close()
    assert "Changes saved" not in guarded.get("/").text


@pytest.mark.parametrize("method", ["HEAD", "OPTIONS", "GET"])
def test_no_route_writes_when_it_is_only_looked_at(
    guarded: FlaskClient, app: Flask, full: dict[str, str], config: Config, method: str
) -> None:
    """C20: on all routes, those that only take forms too; and none asks for a token."""
    before = read_rows(config.url)
    addresses = _every_address(app)
    assert len(addresses) > 100
    for path in addresses:
        answer = guarded.open(path, method=method)
        assert answer.status_code in {200, 302, 303, 404, 405}, path
        answer.close()
    assert read_rows(config.url) == before
    with guarded.session_transaction() as session:
        assert "_flashes" not in session


@pytest.mark.parametrize("method", ["GET", "HEAD", "OPTIONS"])
def test_a_view_that_would_write_when_looked_at_is_a_fault_of_the_program(
    app: Flask, method: str
) -> None:
    """C20: whatever a view tests for, no writing session opens in a request that only looks."""
    with (
        app.test_request_context("/gear/", method=method),
        pytest.raises(RuntimeError, match=f"{method} of gear.index must not write"),
        writing(),
    ):
        pass
