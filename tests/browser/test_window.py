"""The ear of the browser tests hears what it is there to hear."""

from __future__ import annotations

import pytest
from flask import Flask, Response
from playwright.sync_api import Browser

from tests.support.browser import PHONE, window
from tests.support.server import served

pytestmark = pytest.mark.browser

QUIET = "<!doctype html><link rel=icon href='data:,'><p>Quiet</p>"
LOUD = {
    "policy": "<style>p { color: red }</style>",
    "console": "<script src='/log.js'></script>",
    "exception": "<script src='/throw.js'></script>",
    "off the machine": "<img src='http://elsewhere.example/a.png'>",
    "failed": "<img src='http://127.0.0.1:9/a.png'>",
}


def _app(body: str) -> Flask:
    app = Flask("loud", static_folder=None)

    @app.get("/")
    def page() -> Response:
        answer = Response(QUIET + body)
        answer.headers["Content-Security-Policy"] = "default-src 'self' data:; img-src * data:"
        return answer

    app.add_url_rule("/log.js", view_func=lambda: _script("console.error('oh')"), endpoint="log")
    app.add_url_rule("/throw.js", view_func=lambda: _script("nothing()"), endpoint="throw")
    return app


def _script(code: str) -> Response:
    return Response(code, mimetype="text/javascript")


def _heard(browser: Browser, body: str) -> list[str]:
    with served(_app(body)) as url, window(browser, url, PHONE) as (context, ear):
        page = context.new_page()
        page.goto("/", wait_until="networkidle")
        return ear.troubles()


@pytest.mark.parametrize("trouble", LOUD)
def test_trouble_on_a_page_is_heard(browser: Browser, trouble: str) -> None:
    assert any(trouble in line for line in _heard(browser, LOUD[trouble]))


def test_a_quiet_page_is_left_in_peace(browser: Browser) -> None:
    assert _heard(browser, "") == []
