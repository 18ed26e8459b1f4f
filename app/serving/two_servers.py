"""The owner's server and the network's, which can be opened and closed while the app runs."""

from collections.abc import Sequence
from functools import partial
from logging import ERROR, getLogger
from socket import socket
from threading import Lock, Thread
from typing import TYPE_CHECKING

from waitress import wasyncore

from app.serving import listening
from app.serving.listening import Door, Threads, Visit

if TYPE_CHECKING:
    from flask import Flask


class Network:
    """The home network's server, in a thread of its own; opened and closed while the app runs."""

    def __init__(self, app: "Flask", port: int) -> None:
        self._app, self._port = app, port
        self._doors: list[Door] = []
        self._thread: Thread | None = None
        self._switching = Lock()

    def open(self, addresses: Sequence[str]) -> None:
        """Answer at these addresses. Raises OSError where one of them cannot be had."""
        with self._switching:
            self._shut()
            self.bind(addresses)
            self.start()

    def close(self) -> None:
        """Let go of every connection, those included whose request is being answered."""
        with self._switching:
            self._shut()

    def bind(self, addresses: Sequence[str]) -> None:
        """Listen at these addresses, and answer nobody yet."""
        named = [f"{one}:{self._port}" for one in addresses]
        self._doors = listening.doors(self._app, named, listening.NETWORK)

    def take(self, sockets: Sequence[socket]) -> None:
        """Listen on sockets that are bound already, and answer nobody yet."""
        self._doors = listening.doors_on(self._app, sockets, listening.NETWORK)

    def start(self) -> None:
        if self._doors:
            serve = partial(wasyncore.loop, timeout=1, map=self._doors[0]._map)
            self._thread = Thread(target=serve, name="network", daemon=True)
            self._thread.start()

    def connections(self) -> int:
        return sum(isinstance(one, Visit) for door in self._doors[:1] for one in door._map.values())

    def _shut(self) -> None:
        """What a request writes is written to its end (5 s at most); its reply is lost.

        The thread that answers wakes the loop by a descriptor, which may belong to another file
        once it is closed: so it stays open until no thread is left.
        """
        if not self._doors:
            return
        doors, threads, self._doors = self._doors, self._doors[0].task_dispatcher, []
        if self._thread is None:
            _leave(doors, threads)
            return
        doors[0].trigger.pull_trigger(lambda: _let_go(doors))
        threads.shutdown()
        doors[0].trigger.pull_trigger(lambda: _leave(doors, threads))
        self._thread.join(timeout=5)
        self._thread = None


def _let_go(doors: Sequence[Door]) -> None:
    """Listen no more, and close every connection."""
    for door in doors:
        for visit in list(door.active_channels.values()):
            visit.handle_close()
        wasyncore.dispatcher.close(door)


def _leave(doors: Sequence[Door], threads: Threads) -> None:
    """End the loop over these sockets."""
    if threads.are_done:
        wasyncore.close_all(doors[0]._map, ignore_all=True)
    else:
        doors[0]._map.clear()


class TwoServers:
    """The owner's server in the thread that runs it, and the network's, which may be shut."""

    def __init__(self, here: Door, network: Network) -> None:
        self.here, self.network = here, network

    def run(self) -> None:
        self.network.start()
        self.here.run()

    def close(self) -> None:
        self.network.close()
        self.here.close()

    @property
    def task_dispatcher(self) -> "TwoServers":
        return self

    def shutdown(self) -> bool:
        """Let requests that are being answered end, for 5 s at most."""
        self.network.close()
        return bool(self.here.task_dispatcher.shutdown())


def listen(app: "Flask", port: int, here: str, lan: Sequence[str]) -> TwoServers:
    """A server bound to loopback, and another one to the `lan` addresses if any are named; not yet
    running."""
    _stay_quiet()
    (own,) = listening.doors(app, [f"{here}:{port}"], listening.HERE)
    network = Network(app, port)
    if lan:
        network.bind(lan)
    return TwoServers(own, network)


def listen_on(app: "Flask", port: int, here: socket, lan: Sequence[socket]) -> TwoServers:
    """As `listen`, on sockets that several processes share."""
    _stay_quiet()
    (own,) = listening.doors_on(app, [here], listening.HERE)
    network = Network(app, port)
    if lan:
        network.take(lan)
    return TwoServers(own, network)


def _stay_quiet() -> None:
    """A line for each request that has to wait tells nobody anything, and there can be
    thousands."""
    getLogger("waitress.queue").setLevel(ERROR)
