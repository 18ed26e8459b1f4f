"""A script at the journal's own machine or elsewhere at home: it has a token, and no cookies."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from flask import Flask
from werkzeug.test import TestResponse

from app.database import Database
from app.journal.tokens import add_token
from app.models.tokens import TokenValues
from tests.support.clock import NOON

EVERYTHING = ("may_read", "may_log_brews", "may_log_tastings", "may_read_tests")


def make_token(
    journal: Database, *scopes: str, from_network: bool = False, expires_at: datetime | None = None
) -> str:
    """A token that may do what is named; everything, if nothing is."""
    may = {scope: scope in (scopes or EVERYTHING) for scope in EVERYTHING}
    values = TokenValues(name="Scale", from_network=from_network, expires_at=expires_at, **may)
    with journal.writing() as session:
        return add_token(session, values, NOON)[1]


class Script:
    """Asks the API with a token, by the peer's address and the name of the host."""

    def __init__(
        self, app: Flask, token: str, peer: str = "127.0.0.1", host: str = "localhost"
    ) -> None:
        self.client = app.test_client(use_cookies=False)
        self.token, self._peer, self._host = token, peer, host

    def ask(self, path: str, method: str = "GET", **more: Any) -> TestResponse:
        headers = {"Authorization": f"Bearer {self.token}"} | more.pop("headers", {})
        return self.client.open(
            path,
            method=method,
            base_url=f"http://{self._host}",
            environ_overrides={"REMOTE_ADDR": self._peer},
            headers=headers,
            **more,
        )

    def post(self, path: str, sent: object, **more: Any) -> TestResponse:
        return self.ask(path, "POST", json=sent, **more)
