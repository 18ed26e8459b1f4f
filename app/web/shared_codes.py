"""The codes of all processes that serve a journal behind one address, and the wrong ones tried.

One process alone keeps them in memory. Several keep them in a file besides, which the process that
started them makes in a folder of its own, and removes as it ends: so the codes end with it.
"""

import json
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any

from flask import current_app

from app.web.codes import drawn, tries
from app.web.helper_codes import HelperCode, helper_codes

FILE = "CODES_FILE"  # in the app's configuration


@contextmanager
def held() -> Iterator[None]:
    """Whoever draws, uses, counts or cancels codes is alone with them meanwhile."""
    with tries().lock, _file() as file:
        if file is not None:
            _take_in(file)
        try:
            yield
        finally:
            if file is not None:
                _write_down(file)


def look(now: datetime) -> None:
    """Before a page: know what other processes drew, and forget what has run out.

    Nobody waits here: who is alone with the codes in this process knows them already.
    """
    lock = tries().lock
    if not lock.acquire(blocking=False):
        return
    try:
        before = len(drawn().ends)
        with _file(alone=False) as file:
            if file is not None:
                _take_in(file)
                before = len(drawn().ends)
        ran_out = len(drawn().open_at(now)) < before
    finally:
        lock.release()
    if ran_out:
        with held():
            drawn().open_at(now)


@contextmanager
def _file(*, alone: bool = True) -> Iterator[int | None]:
    """The file, locked; None where one process serves alone, or to look at while it is taken."""
    path: Path | None = current_app.config.get(FILE)
    if path is None or sys.platform == "win32":
        yield None
        return
    import fcntl

    file = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        try:
            fcntl.flock(file, fcntl.LOCK_EX if alone else fcntl.LOCK_SH | fcntl.LOCK_NB)
        except BlockingIOError:
            yield None
        else:
            yield file
    finally:
        os.close(file)


def _take_in(file: int) -> None:
    """Nothing, where it is new or what wrote it was killed: no code is open then."""
    try:
        known: dict[str, Any] = json.loads(os.pread(file, os.fstat(file).st_size, 0))
    except ValueError:
        known = {"ends": {}, "wrong": 0, "voided_at": None, "helpers": {}, "cancelled": []}
    drawn().ends = {code: (_moment(at), end) for code, (at, end) in known["ends"].items()}
    tries().wrong = known["wrong"]
    tries().voided_at = _moment(known["voided_at"]) if known["voided_at"] else None
    helpers = helper_codes()
    helpers.codes = {
        int(test): HelperCode(code, _moment(at)) for test, (code, at) in known["helpers"].items()
    }
    helpers.cancelled = set(known["cancelled"])


def _write_down(file: int) -> None:
    helpers, counted = helper_codes(), tries()
    known = {
        "ends": {code: (at.isoformat(), end) for code, (at, end) in drawn().ends.items()},
        "wrong": counted.wrong,
        "voided_at": counted.voided_at.isoformat() if counted.voided_at else None,
        "helpers": {
            test: (one.code, one.runs_out.isoformat()) for test, one in helpers.codes.items()
        },
        "cancelled": sorted(helpers.cancelled),
    }
    text = json.dumps(known).encode()
    os.ftruncate(file, 0)
    os.pwrite(file, text, 0)


def _moment(text: str) -> datetime:
    return datetime.fromisoformat(text)
