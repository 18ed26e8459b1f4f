"""Which addresses the real command listens on: this machine's own, and more only when asked."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from pathlib import Path

import pytest

from app.cli import main
from app.config import Config
from app.devices.network import lan_addresses
from tests.support.caller import Caller
from tests.support.page import form
from tests.support.server import port_of_our_own

ROOT = Path(__file__).parent.parent.parent


@pytest.fixture
def own_address() -> str:
    try:
        return lan_addresses()[0]
    except ValueError as none:
        pytest.skip(f"only loopback here: {none}")


@pytest.fixture
def port(own_address: str) -> int:
    return port_of_our_own("127.0.0.1", own_address)


@contextmanager
def _serving(journal: Path | None, port: int, *more: str) -> Iterator[list[str]]:
    """The command, running; gives what it said on opening."""
    words = ["--journal", str(journal), "serve", "--port", str(port), *more]
    with subprocess.Popen(
        [sys.executable, "-m", "app", *words], cwd=ROOT, stdout=subprocess.PIPE, text=True
    ) as server:
        assert server.stdout is not None
        said = [server.stdout.readline().strip()]
        while said[-1] and not said[-1].startswith("Journal:"):
            said.append(server.stdout.readline().strip())
        try:
            yield said
        finally:
            server.kill()


def _ask(address: str, port: int, host: str = "") -> tuple[int, str]:
    connection = HTTPConnection(address, port, timeout=60)
    try:
        connection.request("GET", "/brews/", headers={"Host": host} if host else {})
        answer = connection.getresponse()
        return answer.status, answer.read().decode()
    finally:
        connection.close()


def test_serve_does_not_listen_on_the_network(
    sqlite_config: Config, own_address: str, port: int
) -> None:
    with _serving(sqlite_config.sqlite_path, port) as said:
        assert own_address not in " ".join(said)
        assert _ask("127.0.0.1", port)[0] == 200
        with pytest.raises(ConnectionRefusedError):
            _ask(own_address, port)


def test_serve_for_the_network_listens_there_and_lets_nobody_in_unpaired(
    sqlite_config: Config, own_address: str, port: int
) -> None:
    with _serving(sqlite_config.sqlite_path, port, "--lan", own_address) as said:
        assert said[1] == f"On your network, for paired devices: http://{own_address}:{port}/"
        assert _ask("127.0.0.1", port)[0] == 200
        status, text = _ask(own_address, port)
        assert status == 403
        assert "This device is not paired" in text
        assert _ask(own_address, port, host="evil.example")[0] == 400
        assert _ask(own_address, port, host=f"127.0.0.1:{port}")[0] == 403
        assert _ask("127.0.0.1", port, host=f"{own_address}:{port}")[0] == 403


def test_the_running_command_is_opened_and_closed_by_a_page(
    sqlite_config: Config, own_address: str, port: int
) -> None:
    with _serving(sqlite_config.sqlite_path, port):
        owner = Caller(f"http://127.0.0.1:{port}")
        for _ in range(2):
            token = form(owner.get("/devices/"), holding="csrf_token")
            assert owner.post("/devices/open", token) == 303
            assert f"http://{own_address}:{port}/pair" in owner.get("/devices/")
            status, text = _ask(own_address, port)
            assert status == 403
            assert "This device is not paired" in text
            assert owner.post("/devices/close", token) == 303
            with pytest.raises(ConnectionRefusedError):
                _ask(own_address, port)


@pytest.mark.parametrize(
    ("address", "sentence"),
    [
        ("0.0.0.0", "is no address of a home network"),  # noqa: S104
        ("9.9.9.9", "is no address of a home network"),
        ("127.0.0.2", "is no address of a home network"),
        ("kitchen", "is no address of a home network"),
        ("203.0.113.77", "This machine does not have the address 203.0.113.77."),
    ],
)
def test_an_address_that_will_not_do_is_said(
    sqlite_config: Config, address: str, sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    journal = str(sqlite_config.sqlite_path)
    assert main(["--journal", journal, "serve", "--lan", address]) == 1
    assert sentence in capsys.readouterr().err
