"""The app behind a real server, in a thread of the tests."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Thread

from flask import Flask
from waitress import wasyncore
from waitress.server import TcpWSGIServer, create_server


@contextmanager
def served(app: Flask) -> Iterator[str]:
    """Serve the app on a free port of this machine; gives its address."""
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        port = listener.getsockname()[1]
        server = create_server(app, sockets=[listener], threads=4)
        thread = Thread(target=server.run, daemon=True)
        thread.start()
        try:
            yield f"http://127.0.0.1:{port}"
        finally:
            server.trigger.pull_trigger(lambda: _close(server))
            thread.join(timeout=10)
            server.task_dispatcher.shutdown()


def _close(server: TcpWSGIServer) -> None:
    """A reply still on its way is given up properly: its file would stay open otherwise."""
    for channel in list(server.active_channels.values()):
        channel.handle_close()
    wasyncore.close_all(server._map)
