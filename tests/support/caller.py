"""A browser without a window: its own cookies, real requests to a served journal."""

from __future__ import annotations

from http.client import HTTPConnection
from typing import NamedTuple
from urllib.parse import urlencode, urlsplit

from tests.support.page import Values, form


class Answer(NamedTuple):
    status_code: int
    text: str


class Caller:
    """Keeps the cookie it was given; each call is one connection, as after a restart."""

    def __init__(self, address: str) -> None:
        self.host = urlsplit(address).netloc
        self.cookie = ""

    def get(self, path: str) -> str:
        status, body = self._send("GET", path)
        if status != 200:
            raise AssertionError(f"{path} answered {status}")
        return body

    def post(self, path: str, values: Values) -> int:
        """Send a form; returns the status, once the whole answer has come."""
        return self._send("POST", path, urlencode(values, doseq=True))[0]

    def send(self, path: str, values: Values) -> tuple[int, str]:
        """Send a form; returns the status, and where the answer sends the browser."""
        status, _, location = self._ask("POST", path, urlencode(values, doseq=True))
        return status, location

    def post_for_page(self, path: str, values: Values) -> str:
        """Send a form that is answered with a page."""
        status, body = self._send("POST", path, urlencode(values, doseq=True))
        if status != 200:
            raise AssertionError(f"{path} answered {status}")
        return body

    def brew_form(self) -> Values:
        """The form for a new brew as the page offers it, its CSRF token included."""
        return form(self.get("/brews/new"), holding="entry_key")

    def answer_to(self, path: str, values: Values) -> Answer:
        """Send a form; the whole answer."""
        return Answer(*self._send("POST", path, urlencode(values, doseq=True)))

    def _send(self, method: str, path: str, body: str | None = None) -> tuple[int, str]:
        return self._ask(method, path, body)[:2]

    def _ask(self, method: str, path: str, body: str | None = None) -> tuple[int, str, str]:
        connection = HTTPConnection(self.host, timeout=60)
        headers = {"Cookie": self.cookie, "Content-Type": "application/x-www-form-urlencoded"}
        try:
            connection.request(method, path, body, headers)
            answer = connection.getresponse()
            text = answer.read().decode()
            given = answer.getheader("Set-Cookie")
            if given:
                self.cookie = given.split(";")[0]
            return answer.status, text, answer.getheader("Location") or ""
        finally:
            connection.close()
