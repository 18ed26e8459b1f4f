"""Serving a journal to the browser on this machine and, when asked, to the home network."""

import gc
import socket
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from threading import Lock, Thread
from typing import Protocol

from app.config import Config

LOOPBACK = "127.0.0.1"
_demo_lock = Lock()


class Server(Protocol):
    """What is used of a waitress server."""

    def run(self) -> None:
        """Serve until closed."""

    def close(self) -> None:
        """Stop serving."""


def make_server(config: Config, lan: Sequence[str] = ()) -> tuple[Server, int]:
    """Loopback and the `lan` addresses, each with a server, not yet running; and the port."""
    from app import create_app
    from app.listening import listen
    from app.web.security import open_to_network

    # What is created here lives as long as the process: the garbage collector need not look at it.
    gc.disable()
    hosts = (LOOPBACK, *lan)
    port = free_port(config.port, hosts)
    app = create_app(replace(config, port=port))
    open_to_network(app, lan)
    app.extensions["oddcup_open_demo"] = partial(open_demo, app.config["JOURNAL"], {})
    server: Server = listen(app, port, LOOPBACK, lan)
    gc.freeze()
    gc.enable()
    return server, port


def demo_config(config: Config, path: Path | None = None) -> Config:
    """The demo household, in a file of its own beside the journal."""
    file = (path or config.home / "demo.db").resolve()
    return replace(config, url=f"sqlite:///{file}", demo=True)


def open_demo(config: Config, opened: dict[str, int]) -> int:
    """Open the demo household beside a running journal, once; returns its port."""
    with _demo_lock:
        if "demo" not in opened:
            from seed_demo import ensure_demo

            demo = demo_config(config)
            ensure_demo(demo)
            server, opened["demo"] = make_server(replace(demo, port=config.port + 1))
            Thread(target=server.run, daemon=True).start()
        return opened["demo"]


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
