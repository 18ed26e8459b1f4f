"""`oddcup serve --processes`: its workers, and browsers that are connected to each of them."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from http.client import HTTPConnection
from pathlib import Path
from time import sleep
from typing import NamedTuple
from urllib.parse import urlencode

from tests.support.page import Values
from tests.support.server import ROOT


class Answer(NamedTuple):
    status: int
    text: str
    location: str


class Browser:
    """Cookies of one browser; it keeps a connection to each worker open, and asks by either."""

    def __init__(self, host: str, port: int) -> None:
        self.host, self.port = host, port
        self.cookies: dict[str, str] = {}
        self._connections: dict[int, HTTPConnection] = {}

    def reach(self, workers: Sequence[int]) -> None:
        """Connect to each worker, while the others are stopped and accept nobody."""
        for worker in workers:
            with ExitStack() as stack:
                for other in workers:
                    if other != worker:
                        _stop(other)
                        stack.callback(os.kill, other, signal.SIGCONT)
                self._connections[worker] = HTTPConnection(self.host, self.port, timeout=30)
                self.ask(worker, "/static/favicon.svg")

    def ask(self, worker: int, path: str, values: Values | None = None, token: str = "") -> Answer:
        """Of this worker: a page, or what it answers to a form."""
        connection = self._connections[worker]
        headers = {
            "Cookie": "; ".join(f"{name}={value}" for name, value in self.cookies.items()),
            "Content-Type": "application/x-www-form-urlencoded",
            "Connection": "keep-alive",
            **({"Authorization": f"Bearer {token}"} if token else {}),
        }
        body = None if values is None else urlencode(values, doseq=True)
        connection.request("GET" if values is None else "POST", path, body, headers)
        answer = connection.getresponse()
        text = answer.read().decode()
        for given in answer.headers.get_all("Set-Cookie", []):
            name, _, value = given.partition(";")[0].partition("=")
            self.cookies[name] = value
        return Answer(answer.status, text, answer.getheader("Location") or "")

    def close(self) -> None:
        for connection in self._connections.values():
            connection.close()


def _stop(process: int) -> None:
    """Stopped it is once all its threads are: until then one of them may accept somebody."""
    os.kill(process, signal.SIGSTOP)
    for _ in range(600):
        told = [path.read_text() for path in Path(f"/proc/{process}/task").glob("*/stat")]
        if all(one.rpartition(")")[2].split()[0] == "T" for one in told):
            return
        sleep(0.01)
    raise AssertionError(f"process {process} does not stop")


class Group:
    """The process that was started, and its workers."""

    def __init__(self, parent: subprocess.Popen[str], port: int) -> None:
        self.parent, self.port = parent, port

    def workers(self, count: int) -> list[int]:
        """Their numbers, once there are so many."""
        for _ in range(600):
            told = Path(f"/proc/{self.parent.pid}/task/{self.parent.pid}/children").read_text()
            if len(told.split()) == count:
                return [int(number) for number in told.split()]
            sleep(0.05)
        raise AssertionError(f"{count} workers were awaited, there are {told}")


@contextmanager
def processes(url: str, home: Path, port: int, *more: str) -> Iterator[Group]:
    """Two workers on a journal, once they are open."""
    words = [sys.executable, "-B", "-m", "app", "serve", "--port", str(port), "--processes", "2"]
    with subprocess.Popen(
        [*words, *more], cwd=ROOT, stdout=subprocess.PIPE, text=True,
        env=os.environ | {"XDG_DATA_HOME": str(home), "ODDCUP_DATABASE_URL": url},
    ) as parent:  # fmt: skip
        try:
            assert parent.stdout
            said = ""
            while "2 processes." not in said:
                line = parent.stdout.readline()
                assert line, f"it did not open: {said}"
                said += line
            yield Group(parent, port)
        finally:
            parent.terminate()
            parent.communicate(timeout=30)
