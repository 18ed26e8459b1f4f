"""Turning requests away while the journal's file is being replaced."""

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Condition

from flask import Flask, Response, current_app, g, request

from app.web.api.problems import is_api, problem


class Pause:
    """Counts the requests being answered. Those that come during the pause get 503."""

    def __init__(self) -> None:
        self._changed = Condition()
        self._inside = 0
        self._paused = False

    def enter(self) -> bool:
        with self._changed:
            self._inside += not self._paused
            return not self._paused

    def leave(self) -> None:
        with self._changed:
            self._inside -= 1
            self._changed.notify_all()

    @contextmanager
    def alone(self, wait_s: float) -> Iterator[None]:
        """From within a request: all others are done, and none begins before the block ends.

        Raises TimeoutError if the others take longer, or another request has paused them.
        """
        with self._changed:
            if self._paused:
                raise TimeoutError
            self._paused = True
        try:
            with self._changed:
                if not self._changed.wait_for(lambda: self._inside <= 1, wait_s):
                    raise TimeoutError
            yield
        finally:
            with self._changed:
                self._paused = False


BEING_RESTORED = (
    "The journal is being restored from a backup, which takes a moment. Nothing was saved by this "
    "request: go back, and send it again in a few seconds.\n"
)


def can_pause(app: Flask) -> None:
    """To be called first of all, so that a request turned away has read nothing of the journal."""
    app.before_request(_enter)
    app.teardown_appcontext(_leave)


def pause() -> Pause:
    found: Pause = current_app.extensions["oddcup_pause"]
    return found


def _enter() -> Response | None:
    if pause().enter():
        g.entered = pause()
        return None
    if is_api():
        return problem(503, BEING_RESTORED.strip(), headers={"Retry-After": "5"})
    answer = Response(BEING_RESTORED, 503, mimetype="text/plain", headers={"Retry-After": "5"})
    if request.method == "GET":
        answer.headers["Refresh"] = "5"  # the browser asks again by itself
    return answer


def _leave(_error: BaseException | None) -> None:
    entered: Pause | None = g.pop("entered", None)
    if entered:
        entered.leave()
