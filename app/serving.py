"""Opening a journal to the browser on this machine."""

from __future__ import annotations

import socket
from dataclasses import replace
from pathlib import Path
from threading import Lock, Thread
from typing import Any

from .config import Config

THREADS = 8
MOST_BYTES = 13 * 1024 * 1024
_demo_lock = Lock()


def make_server(config: Config) -> tuple[Any, int]:
    """A server bound to loopback and the port it took; `run()` starts it."""
    from waitress.server import create_server

    from . import create_app

    port = free_port(config.port)
    app = create_app(replace(config, port=port))
    server = create_server(
        app, host="127.0.0.1", port=port, threads=THREADS, max_request_body_size=MOST_BYTES
    )
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


def free_port(wanted: int) -> int:
    """The port asked for, or the next free one of twenty. Raises OSError if all are taken."""
    for port in range(wanted, min(wanted + 20, 65536)):
        with socket.socket() as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return port
    raise OSError(f"No free port from {wanted} on; name another with --port.")
