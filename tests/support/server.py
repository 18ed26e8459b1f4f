"""The app behind a real server: in a thread of the tests, or in a process of its own."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Thread

from flask import Flask
from waitress import wasyncore

from app.config import Config
from app.serving import LOOPBACK, free_port
from app.serving.listening import Door
from app.serving.two_servers import listen

ROOT = Path(__file__).parent.parent.parent


@contextmanager
def served(app: Flask) -> Iterator[str]:
    """Serve the app on a free port of this machine; gives its address."""
    port = port_of_our_own()
    servers = listen(app, port, LOOPBACK, ())
    server = servers.here
    app.extensions["oddcup_network"] = servers.network
    thread = Thread(target=server.run, daemon=True)
    thread.start()
    try:
        yield f"http://{LOOPBACK}:{port}"
    finally:
        servers.network.close()
        server.trigger.pull_trigger(lambda: _let_go(server))
        server.task_dispatcher.shutdown()  # its threads wake the loop when they are done
        server.trigger.pull_trigger(lambda: wasyncore.close_all(server._map))
        thread.join(timeout=60)


def _let_go(server: Door) -> None:
    """A reply still on its way is given up properly: its file would stay open otherwise."""
    for channel in list(server.active_channels.values()):
        channel.handle_close()


def port_of_our_own(*hosts: str) -> int:
    """A free port below those that the system gives to connections (from 32768 on Linux), some
    way from the ports of other processes of the tests."""
    return free_port(20_000 + os.getpid() * 20 % 12_000, hosts or (LOOPBACK,))


@contextmanager
def started(
    config: Config, port: int, watched: Callable[[list[str]], list[str]] = list, first: str = ""
) -> Iterator[subprocess.Popen[str]]:
    """`oddcup serve` in a process of its own, once it says that it is open; killed at the end.

    `watched` may put another program before the command; `first` is how a line before that begins.
    """
    journal = ("--journal", str(config.sqlite_path)) if config.sqlite_path else ()
    there = {"ODDCUP_DATABASE_URL": config.url, "XDG_DATA_HOME": str(config.home)}
    server = subprocess.Popen(
        watched([sys.executable, "-m", "app", *journal, "serve", "--port", str(port)]),
        cwd=ROOT,
        env=os.environ | there,
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        assert server.stdout is not None
        assert not first or server.stdout.readline().startswith(first)
        assert server.stdout.readline().strip() == f"Oddcup is open at http://127.0.0.1:{port}/"
        yield server
    finally:
        server.kill()
        server.communicate()


def let_ctrl_c_through() -> None:
    """Tests that run in the background ignore Ctrl+C, and so would each program they start."""
    signal.signal(signal.SIGINT, signal.default_int_handler)
