"""A phone on the home network: its own address, its own cookies, the pairing form."""

from __future__ import annotations

import re
from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from app.models import BlindTaster, BlindTest, Taster
from tests.support import page
from tests.support.browser import MACHINE as MACHINE
from tests.support.clock import NOON
from tests.support.factories import Make

PHONE = "192.168.1.50"
CODE = re.compile(r"\b[2-9A-HJKMNP-Z]{3}-[2-9A-HJKMNP-Z]{3}\b")


class Phone:
    """Asks the machine by its address on the network, unless another Host is given."""

    def __init__(self, app: Flask, peer: str = PHONE) -> None:
        self.client = app.test_client()
        self.cookie = f"oddcup_{app.config['JOURNAL'].port}_device"
        self._peer = peer
        self._host = f"{MACHINE}:{app.config['JOURNAL'].port}"

    def ask(self, path: str, method: str = "GET", host: str = "", **more: Any) -> Any:
        return self.client.open(
            path,
            method=method,
            base_url=f"http://{host or self._host}",
            environ_overrides={"REMOTE_ADDR": self._peer},
            **more,
        )

    def pair(self, code: str, name: str = "Kitchen phone") -> Any:
        """Open the pairing page as the QR code does, and send its form."""
        opened = self.ask("/pair", query_string={"code": code})
        values = page.filled(opened.text, holding="code", name=name)
        return self.ask("/pair", "POST", data=values)

    def secret(self) -> str:
        kept = self.client.get_cookie(self.cookie, domain=MACHINE)
        return kept.value if kept else ""


def new_code(owner: FlaskClient, seat_id: int | None = None) -> str:
    """Make a code on the journal's own machine and read it off the page."""
    offered = page.form(owner.get("/devices/").text, holding="csrf_token")
    if seat_id:
        offered["seat_id"] = [str(seat_id)]
    shown = owner.post("/devices/guest-codes" if seat_id else "/devices/codes", data=offered)
    found = CODE.search(page.text(shown.text))
    assert shown.status_code == 200
    assert found
    return found.group()


def seat(make: Make, test: BlindTest, name: str = "Briar") -> BlindTaster:
    """Somebody to taste in the test."""
    taster = make.save(Taster(name=name))
    return make.save(BlindTaster(test_id=test.id, taster_id=taster.id, joined_at=NOON))


def blind_test(make: Make, title: str = "Fresh or rinsed paper", **given: Any) -> BlindTest:
    plain = {
        "entry_key": title, "title": title, "made_at": NOON, "a_words": "fresh",
        "b_words": "rinsed", "claim": "these cups", "brewing": "fresh pair each trial",
        "method": "triangle", "pouring": "helper", "rule": "every morning", "p_d": 0.4,
    }  # fmt: skip
    return make.save(BlindTest(**plain | given))
