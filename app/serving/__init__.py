"""Serving a journal to the browser on this machine and, when asked, to the home network."""

import gc
import socket
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, Protocol

from app.config import Config, sqlite_url
from app.database import Database

if TYPE_CHECKING:
    from flask import Flask

LOOPBACK = "127.0.0.1"


class Server(Protocol):
    """What is used of a waitress server."""

    @property
    def task_dispatcher(self) -> "Dispatcher": ...

    def run(self) -> None:
        """Serve until closed."""

    def close(self) -> None:
        """Stop serving."""


class Dispatcher(Protocol):
    """What is used of waitress's threads."""

    def shutdown(self) -> bool:
        """Let requests that are being answered end, for 5 s at most; begin no others."""


class Served(NamedTuple):
    """The server of an app, and its port."""

    server: Server
    port: int
    app: "Flask"

    @property
    def address(self) -> str:
        return f"http://{LOOPBACK}:{self.port}/"

    def dispose(self) -> None:
        """Close the journal once nobody reads or writes it any more."""
        self.server.task_dispatcher.shutdown()
        database: Database = self.app.extensions["oddcup_database"]
        database.dispose()


@contextmanager
def staying() -> Iterator[None]:
    """What is made meanwhile lives as long as the process: the garbage collector need not look at
    it, now or later."""
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        gc.enable()


def make_server(config: Config, lan: Sequence[str] = (), mark: int | None = None) -> Served:
    """Loopback and the `lan` addresses, each with a server, not yet running.

    `mark` is the number that the journal's file is known by, see app/file/opened.py.
    """
    from app import create_app
    from app.serving.two_servers import listen
    from app.web.security import open_to_network

    hosts = (LOOPBACK, *lan)
    port = free_port(config.port, hosts)
    app = create_app(replace(config, port=port))
    app.extensions["oddcup_database"].mark = mark
    open_to_network(app, lan)
    server = listen(app, port, LOOPBACK, lan)
    app.extensions["oddcup_network"] = server.network
    return Served(server, port, app)


def demo_config(config: Config, path: Path | None = None) -> Config:
    """The demo household, in a file of its own beside the journal."""
    file = (path or config.home / "demo.db").resolve()
    return replace(config, url=sqlite_url(file), demo=True)


def free_port(wanted: int, hosts: Sequence[str] = (LOOPBACK,)) -> int:
    """The port asked for, or the next free one of twenty. Raises OSError if all are taken."""
    for port in range(wanted, min(wanted + 20, 65536)):
        if all(_is_free(host, port) for host in hosts):
            return port
    raise OSError(f"No free port from {wanted} on; name another with --port.")


def _is_free(host: str, port: int) -> bool:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError:
            return False
        return True
