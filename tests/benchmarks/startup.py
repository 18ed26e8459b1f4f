"""From the command to the first page, against importing the libraries it cannot do without."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from http.client import HTTPConnection
from pathlib import Path
from time import monotonic, sleep

from tests.benchmarks.generate import FOLDER
from tests.benchmarks.result import Result, ms
from tests.benchmarks.timing import medians

ROUNDS = 9
BOUND = 2.5
ROOT = FOLDER.parent
IMPORTS = "import flask, sqlalchemy, wtforms"
# The very file that the command `oddcup` is.
COMMAND = "import runpy; runpy.run_path('app/__main__.py', run_name='__main__')"


def startup(journal: Path) -> Result:
    took = medians(
        {"start": lambda: _first_page(journal), "imports": lambda: _run(IMPORTS).wait()},
        ROUNDS,
        waits=True,
    )
    told = f"{ms(took['start'])} / {ms(took['imports'])} for {IMPORTS}"
    return Result("start to first page", BOUND, took["start"] / took["imports"], told)


def _first_page(journal: Path) -> None:
    port = _free_port()
    server = _run(COMMAND, "--journal", str(journal), "serve", "--port", str(port))
    try:
        _wait_for_page(port)
    finally:
        server.kill()
        server.wait()


def _run(code: str, *arguments: str) -> subprocess.Popen[bytes]:
    """A Python of its own, which may keep compiled modules as an installed program does."""
    settings = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    return subprocess.Popen(
        [sys.executable, "-c", code, *arguments], cwd=ROOT, env=settings, stdout=subprocess.DEVNULL
    )


def _wait_for_page(port: int) -> None:
    deadline = monotonic() + 60
    while monotonic() < deadline:
        try:
            _ask(port)
        except ConnectionRefusedError:
            sleep(0.002)
        else:
            return
    raise RuntimeError("the server did not answer within a minute")


def _ask(port: int) -> None:
    connection = HTTPConnection("127.0.0.1", port, timeout=60)
    connection.request("GET", "/")
    answer = connection.getresponse()
    answer.read()
    connection.close()
    if answer.status != 200:
        raise RuntimeError(f"the first page answered {answer.status}")


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port
