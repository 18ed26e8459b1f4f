"""The journal is opened to phones, and closed again, while it runs; only here, and in words."""

from __future__ import annotations

import errno
import socket
from collections.abc import Iterator
from http.client import HTTPConnection
from threading import Event, Thread
from time import monotonic, sleep
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from app.devices import opening
from app.serving.listening import Visit
from app.serving.two_servers import Network
from tests.support import page
from tests.support.blind import next_trial, planned
from tests.support.phone import MACHINE, Phone, new_code
from tests.support.server import port_of_our_own

LAN = "127.0.0.2"


class Doorman:
    """A network that notes what is asked of it."""

    def __init__(self, refuses: OSError | None = None) -> None:
        self.asked: list[tuple[str, ...]] = []
        self._refuses = refuses

    def open(self, addresses: tuple[str, ...]) -> None:
        if self._refuses:
            raise self._refuses
        self.asked.append(tuple(addresses))

    def close(self) -> None:
        self.asked.append(())


@pytest.fixture(autouse=True)
def own_address(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(opening, "lan_addresses", lambda: (MACHINE,))


@pytest.fixture
def doorman(app: Flask) -> Doorman:
    known = app.extensions["oddcup_network"] = Doorman()
    return known


def _devices(client: FlaskClient) -> str:
    return page.text(client.get("/devices/").text)


def test_one_button_opens_it_and_one_closes_it(
    app: Flask, client: FlaskClient, doorman: Doorman
) -> None:
    shut = _devices(client)
    assert "Now only this machine can open the journal." in shut
    assert "not for a public one" in shut
    assert Phone(app).ask("/pair").status_code == 400
    assert client.post("/devices/open").location == "/devices/"
    assert doorman.asked == [(MACHINE,)]
    opened = client.get("/devices/").text
    assert f"http://{MACHINE}:8473/pair" in page.text(opened)
    assert 'aria-label="QR code with the address"' in opened
    assert Phone(app).ask("/pair").status_code == 200
    assert Phone(app).ask("/").status_code == 403
    client.post("/devices/close")
    assert doorman.asked == [(MACHINE,), ()]
    assert Phone(app).ask("/pair").status_code == 400
    assert "Closed: no phone reaches this journal any more." in _devices(client)


def test_a_device_that_was_paired_comes_back_when_it_is_opened_again(
    app: Flask, client: FlaskClient, doorman: Doorman
) -> None:
    client.post("/devices/open")
    phone = Phone(app)
    phone.pair(new_code(client))
    client.post("/devices/close")
    assert phone.ask("/brews/").status_code == 400
    client.post("/devices/open")
    assert phone.ask("/brews/").status_code == 200


def test_opened_twice_it_is_opened_once(client: FlaskClient, doorman: Doorman) -> None:
    client.post("/devices/open")
    client.post("/devices/open")
    assert doorman.asked == [(MACHINE,)]


def test_only_the_journals_own_machine_may_switch_it(
    app: Flask, client: FlaskClient, doorman: Doorman
) -> None:
    client.post("/devices/open")
    household = Phone(app)
    household.pair(new_code(client))
    for phone in (household, Phone(app, "192.168.1.66")):
        for path in ("/devices/open", "/devices/close"):
            assert phone.ask(path, "POST").status_code == 403
    assert doorman.asked == [(MACHINE,)]


def test_a_trial_that_waits_offers_it_in_place_of_the_code(
    app: Flask, client: FlaskClient, doorman: Doorman
) -> None:
    waiting = next_trial(client, planned(client))
    shown = page.text(client.get(f"/blind/trials/{waiting}").text)
    assert "Phones cannot reach this machine yet." in shown
    assert "not for a public one" in shown
    back = client.post("/devices/open", data={"trial_id": waiting})
    assert back.location == f"/blind/trials/{waiting}"
    assert "It opens the serving cards of this test" in page.text(client.get(back.location).text)
    for odd in ("", "0", "x", "//evil.example", "1/../2", "9" * 20):
        assert client.post("/devices/open", data={"trial_id": odd}).location == "/devices/"


@pytest.mark.parametrize(
    ("refusal", "sentence"),
    [
        (OSError(errno.EADDRINUSE, "Address already in use"), "Another program on this machine"),
        (OSError(errno.EACCES, "Permission denied"), "did not allow it (Permission denied)"),
    ],
)
def test_a_machine_that_refuses_is_told_in_words(
    app: Flask, client: FlaskClient, refusal: OSError, sentence: str
) -> None:
    app.extensions["oddcup_network"] = Doorman(refusal)
    assert client.post("/devices/open").status_code == 303
    said = _devices(client)
    assert sentence in said
    assert "Now only this machine can open the journal." in said
    assert Phone(app).ask("/pair").status_code == 400


def test_no_network_is_told_in_words(
    client: FlaskClient, doorman: Doorman, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none() -> tuple[str, ...]:
        raise ValueError

    monkeypatch.setattr(opening, "lan_addresses", none)
    client.post("/devices/open")
    assert "This machine is in no home network now" in _devices(client)
    assert doorman.asked == []


def test_an_address_that_the_machine_has_no_more_is_told(
    client: FlaskClient, doorman: Doorman, monkeypatch: pytest.MonkeyPatch
) -> None:
    client.post("/devices/open")
    assert "has changed its network" not in _devices(client)
    monkeypatch.setattr(opening, "lan_addresses", lambda: ("192.168.7.7",))
    assert "has changed its network" in _devices(client)


def test_served_by_another_program_it_is_not_offered(client: FlaskClient) -> None:
    assert "Open to phones" not in _devices(client)
    for path in ("/devices/open", "/devices/close"):
        client.post(path)
        assert "Another program serves this journal" in _devices(client)


# From here on with real sockets: the network is 127.0.0.2.


def _answer(go_on: Event, done: Event, environ: dict[str, Any], start: Any) -> list[bytes]:
    if environ["PATH_INFO"] == "/slow":
        go_on.wait(20)
        done.set()
    start("200 OK", [("Content-Length", "2")])
    return [b"ok"]


class Program:
    """A program of its own behind the network's server; /slow waits until it is told to go on."""

    def __init__(self) -> None:
        self.go_on, self.done = Event(), Event()
        self.port = port_of_our_own("127.0.0.1", LAN)
        self.network = Network(self, self.port)  # type: ignore[arg-type]

    def __call__(self, environ: dict[str, Any], start: Any) -> list[bytes]:
        return _answer(self.go_on, self.done, environ, start)

    def ask(self) -> int:
        connection = HTTPConnection(LAN, self.port, timeout=20)
        try:
            connection.request("GET", "/")
            return connection.getresponse().status
        finally:
            connection.close()


@pytest.fixture
def program() -> Iterator[Program]:
    try:
        served = Program()
    except OSError:
        pytest.skip("this machine has no second loopback address")
    yield served
    served.go_on.set()
    served.network.close()


def test_the_network_opens_and_closes_again_and_again(program: Program) -> None:
    for _ in range(3):
        with pytest.raises(ConnectionRefusedError):
            program.ask()
        program.network.open([LAN])
        assert program.ask() == 200
        program.network.close()
    program.network.close()


def test_closing_lets_go_of_who_is_connected(program: Program) -> None:
    program.network.open([LAN])
    with socket.create_connection((LAN, program.port), timeout=10) as idle:
        began = monotonic()
        while not program.network.connections() and monotonic() < began + 10:
            sleep(0.01)
        program.network.close()
        assert idle.recv(10) == b""
    assert program.network.connections() == 0


def test_what_a_request_writes_is_written_to_its_end_and_its_descriptors_outlive_it(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The thread that answers wakes the loop by writing to a descriptor: were it closed by then,
    the byte would go into whatever file has that number next."""
    still_open: list[bool] = []
    woken = Visit.write_soon

    def write_soon(visit: Visit, data: bytes) -> Any:
        still_open.append(not visit.server.trigger._closed)
        return woken(visit, data)

    monkeypatch.setattr(Visit, "write_soon", write_soon)
    program.network.open([LAN])
    with socket.create_connection((LAN, program.port), timeout=10) as at_work:
        at_work.send(b"GET /slow HTTP/1.1\r\nHost: x\r\n\r\n")
        sleep(0.3)
        closing = Thread(target=program.network.close)
        closing.start()
        assert at_work.recv(10) == b""  # let go at once
        program.go_on.set()
        closing.join(timeout=20)
    assert program.done.is_set()
    assert still_open
    assert all(still_open)
    program.network.open([LAN])
    assert program.ask() == 200


def test_a_port_that_is_taken_leaves_nothing_open(program: Program) -> None:
    with socket.socket() as taken:
        taken.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        taken.bind((LAN, program.port))
        taken.listen()
        with pytest.raises(OSError, match="in use"):
            program.network.open([LAN])
    program.network.open([LAN])
    assert program.ask() == 200
