"""Sockets that no visitor can fill or hold: connections are counted, slow ones are let go.

The owner's loopback and the home network have a server each, with threads and limits of its own,
so that nothing that comes from the network can make the owner wait for a free place.
"""

from collections import Counter
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from socket import SHUT_WR, socket
from time import time
from typing import TYPE_CHECKING, Any

from waitress import wasyncore
from waitress.adjustments import Adjustments
from waitress.channel import HTTPChannel
from waitress.server import TcpWSGIServer
from waitress.task import ThreadedTaskDispatcher

from app.database.turns import MOST_WHILE_STUCK
from app.serving.requests import MOST_BYTES, MOST_HEAD_BYTES, Request

if TYPE_CHECKING:
    from flask import Flask

# Within this a whole request has to be there, and a second more for each 50 kB of it.
REQUEST_S = 15
BYTES_A_SECOND = 50_000

BUSY_PAGE = (
    b'<!doctype html><html lang="en"><meta charset="utf-8">'
    b'<meta name="viewport" content="width=device-width"><title>Busy</title>'
    b"<h1>The journal is busy</h1><p>Too many connections are open to it at the moment, so this "
    b"request was not read and nothing was saved. Go back, wait a few seconds, and try once more."
)
BUSY = (
    b"HTTP/1.1 503 Service Unavailable\r\nConnection: close\r\nRetry-After: 5\r\n"
    b"Content-Type: text/html; charset=utf-8\r\nCache-Control: no-store\r\n"
    b"Content-Length: %d\r\n\r\n%b" % (len(BUSY_PAGE), BUSY_PAGE)
)
# One more than may wait while writing is stuck: it refuses the others.
FORM_THREADS = MOST_WHILE_STUCK + 1


@dataclass(frozen=True)
class Limits:
    """Connections from one address and in all, how long one may be idle, and threads for pages."""

    of_one_address: int
    in_all: int
    idle_s: int
    threads: int


HERE = Limits(of_one_address=100, in_all=100, idle_s=120, threads=6)
NETWORK = Limits(of_one_address=12, in_all=60, idle_s=15, threads=4)


class Visit(HTTPChannel):  # type: ignore[misc]
    """One connection. A request has to arrive within a bounded time, however slowly it trickles."""

    parser_class = Request
    began: float | None = None  # when the first byte came of a request that is not there yet
    arrived = 0

    def received(self, data: bytes) -> Any:
        if self.began is None:
            self.began, self.arrived = time(), 0
        self.arrived += len(data)
        return super().received(data)

    @property
    def waits_since(self) -> float:
        return float(self.last_activity if self.began is None else self.began)

    def is_late(self, now: float, idle_s: float) -> bool:
        if self.requests:
            return False
        if self.began is not None and now > self.began + REQUEST_S + self.arrived / BYTES_A_SECOND:
            return True
        return bool(now > self.last_activity + idle_s)

    # A visit can be closed between the moment it is listed for the next poll and that poll.

    def readable(self) -> bool:
        return self._fileno is not None and bool(super().readable())

    def writable(self) -> bool:
        return self._fileno is not None and bool(super().writable())


class Door(TcpWSGIServer):  # type: ignore[misc]
    """A listening socket. Doors that share a map share its limits."""

    def __init__(self, limits: Limits, *arguments: Any, **named: Any) -> None:
        self.limits = limits
        super().__init__(*arguments, **named)

    def channel_class(
        self, _door: "Door", conn: socket, addr: Any, adj: Adjustments, map: Any
    ) -> None:
        if self._make_room(addr[0]):
            Visit(self, conn, addr, adj, map=map)
        else:
            _turn_away(conn)

    def add_task(self, visit: Visit) -> None:
        visit.began = None
        super().add_task(visit)

    def maintenance(self, now: float) -> None:
        for visit in list(self.active_channels.values()):
            if visit.is_late(now, self.limits.idle_s):
                visit.handle_close()

    def _make_room(self, address: str) -> bool:
        """Whether there is a place for one more. Who is only waiting gives up theirs, the longest
        first, and first those of the address that has the most."""
        visits = [visit for visit in self._map.values() if isinstance(visit, Visit)]
        held = Counter(visit.addr[0] for visit in visits)
        if held[address] >= self.limits.of_one_address:
            visits = [visit for visit in visits if visit.addr[0] == address]
        elif len(visits) < self.limits.in_all:
            return True
        waiting = [visit for visit in visits if not visit.requests]
        if not waiting:
            return False
        max(waiting, key=lambda visit: (held[visit.addr[0]], -visit.waits_since)).handle_close()
        return True


class Threads:
    """Some for pages and others for what is sent: who reads never waits for a thread that waits
    for its turn to write."""

    def __init__(self, for_pages: int) -> None:
        self._pages, self._forms = ThreadedTaskDispatcher(), ThreadedTaskDispatcher()
        self._pages.set_thread_count(for_pages)
        self._forms.set_thread_count(FORM_THREADS)

    def add_task(self, visit: Visit) -> None:
        threads = self._forms if visit.requests[0].command == "POST" else self._pages
        threads.add_task(visit)

    def shutdown(self) -> bool:
        done = [threads.shutdown() for threads in (self._pages, self._forms)]
        return all(done)

    @property
    def are_done(self) -> bool:
        """Whether no thread is left after a shutdown."""
        return not (self._pages.threads or self._forms.threads)


def doors(app: "Flask", addresses: Sequence[str], limits: Limits) -> list[Door]:
    """Listen at these addresses. Raises OSError where one cannot be had."""
    adj = _adjustments(limits, listen=" ".join(addresses))
    return _doors(app, limits, adj, [(sockinfo, None) for sockinfo in adj.listen])


def doors_on(app: "Flask", sockets: Sequence[socket], limits: Limits) -> list[Door]:
    """Listen on sockets that are bound already, and that other processes listen on, too."""
    adj = _adjustments(limits)
    named = [((one.family, one.type, one.proto, one.getsockname()), one) for one in sockets]
    return _doors(app, limits, adj, named)


def _adjustments(limits: Limits, **listen: str) -> Adjustments:
    return Adjustments(
        threads=limits.threads,
        connection_limit=1000,  # ours are far below
        cleanup_interval=1,
        log_socket_errors=False,
        max_request_header_size=MOST_HEAD_BYTES,
        max_request_body_size=MOST_BYTES,
        **listen,
    )


def _doors(
    app: "Flask",
    limits: Limits,
    adj: Adjustments,
    named: Sequence[tuple[tuple[object, ...], socket | None]],
) -> list[Door]:
    shared: dict[int, object] = {}
    threads = Threads(limits.threads)
    try:
        return [
            Door(
                limits, app, shared, _sock=bound, dispatcher=threads, adj=adj, sockinfo=sockinfo,
                bind_socket=bound is None,
            )
            for sockinfo, bound in named
        ]  # fmt: skip
    except OSError:
        threads.shutdown()
        wasyncore.close_all(shared, ignore_all=True)
        raise


def _turn_away(conn: socket) -> None:
    with suppress(OSError):
        conn.setblocking(False)
        conn.send(BUSY)
        conn.shutdown(SHUT_WR)
    conn.close()
