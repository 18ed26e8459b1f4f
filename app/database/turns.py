"""Writers take turns, and are refused in good time rather than fill the server's threads."""

from collections.abc import Iterator
from contextlib import contextmanager
from math import inf
from threading import Condition
from time import monotonic

from app.file.refused import BUSY_S, JournalBusy

STUCK = 0.4  # of the patience: 2 s of the usual five
MOST_WHILE_STUCK = 2
LOOK_AGAIN_S = 0.05


class Turns:
    """While writing goes on, whoever comes waits for a turn.

    Once nobody has got to write for a part of the patience (STUCK: another program holds the lock,
    the disk hangs), only MOST_WHILE_STUCK writers are left waiting and the others are refused at
    once.
    """

    def __init__(self, at_once: int) -> None:
        self._at_once = at_once
        self._changed = Condition()
        self._inside = self._waiting = 0
        self._trying_since: float | None = None

    @contextmanager
    def take(self, patience_s: float = BUSY_S) -> Iterator[float]:
        """A turn; gives the seconds of patience that are left. Raises JournalBusy."""
        until = monotonic() + patience_s
        with self._changed:
            self._wait(until, STUCK * patience_s)
            self._inside += 1
            self._trying_since = self._trying_since or monotonic()
        try:
            yield max(until - monotonic(), 0.0)
        finally:
            with self._changed:
                self._inside -= 1
                if not (self._inside or self._waiting):
                    self._trying_since = None
                self._changed.notify()

    def note_success(self) -> None:
        """A writer got to write: writing goes on."""
        self._trying_since = None

    def _wait(self, until: float, stuck_s: float) -> None:
        self._waiting += 1
        try:
            while self._inside >= self._at_once:
                now = monotonic()
                crowded = self._inside + self._waiting > MOST_WHILE_STUCK
                if now >= until or (crowded and now > self._trying_from() + stuck_s):
                    raise JournalBusy
                self._changed.wait(LOOK_AGAIN_S)
        finally:
            self._waiting -= 1

    def _trying_from(self) -> float:
        return inf if self._trying_since is None else self._trying_since
