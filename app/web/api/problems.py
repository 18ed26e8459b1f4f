"""Errors of the API as RFC 9457 writes them: application/problem+json, never a page."""

import json
from collections.abc import Mapping, Sequence
from http import HTTPStatus
from typing import NamedTuple

from flask import Response, request

PREFIX = "/api/"
MIMETYPE = "application/problem+json"


class Fault(NamedTuple):
    """What is wrong with one part of what was sent: a JSON pointer (RFC 6901) as a fragment, or a
    parameter of the address."""

    pointer: str
    detail: str


class Refused(Exception):
    """Answered with this problem."""

    def __init__(self, status: int, detail: str, faults: Sequence[Fault] = ()) -> None:
        super().__init__(detail)
        self.status, self.detail, self.faults = status, detail, faults


def is_api() -> bool:
    return request.path.startswith(PREFIX) or request.path == PREFIX.rstrip("/")


def problem(
    status: int, detail: str, faults: Sequence[Fault] = (), headers: Mapping[str, str] | None = None
) -> Response:
    """`type` is about:blank: what went wrong is what the status says, and `detail` in words."""
    said: dict[str, object] = {
        "type": "about:blank",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": detail,
    }
    if faults:
        said["errors"] = [fault._asdict() for fault in faults]
    body = json.dumps(said, ensure_ascii=False)
    return Response(body, status, mimetype=MIMETYPE, headers=dict(headers or {}))


def show(error: Refused) -> Response:
    return problem(error.status, error.detail, error.faults)
