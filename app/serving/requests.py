"""A request as it arrives: its body is kept in bounds, and one that is too large is thrown away.

What is too large is still read to its end, since a browser that is cut off while it sends shows
an error of its own. The app then refuses it by its length (web/bodies.py) with a page of ours.
"""

from io import BytesIO
from types import SimpleNamespace
from typing import IO

from waitress.parser import HTTPRequestParser
from waitress.receiver import ChunkedReceiver
from waitress.utilities import BadRequest

from app.config import MAX_REQUEST_MB

MOST_HEAD_BYTES = 64 * 1024
# Slightly more than the app takes: what is less comes whole to its own answer.
MOST_FORM_BYTES = 2 * 1024 * 1024
MOST_BYTES = (MAX_REQUEST_MB + 1) * 1024 * 1024
MOST_THROWN_AWAY = 1024**3  # more is cut off, whoever sends it
PAIRING = "/pair"
MOST_PAIRING_BYTES = 64 * 1024


class Nowhere:
    """A body that is counted and not kept."""

    def __init__(self, length: int) -> None:
        self.length = length

    def __len__(self) -> int:
        return self.length

    def append(self, data: bytes) -> None:
        self.length += len(data)

    def getfile(self) -> IO[bytes]:
        return BytesIO()

    def close(self) -> None:
        pass


class Request(HTTPRequestParser):  # type: ignore[misc]  # waitress has no types
    most = MOST_FORM_BYTES
    is_kept = True

    def parse_header(self, head: bytes) -> None:
        super().parse_header(head)
        if self.headers.get("CONTENT_TYPE", "").lower().startswith("multipart/form-data"):
            self.most = MOST_BYTES
        read = MOST_THROWN_AWAY
        if self.path.rstrip("/") == PAIRING:  # open to devices that nobody let in
            self.most = read = MOST_PAIRING_BYTES
        self.adj = SimpleNamespace(
            max_request_header_size=MOST_HEAD_BYTES, max_request_body_size=read
        )
        if self.content_length >= self.most:
            self._throw_away()

    def received(self, data: bytes) -> int:
        taken = int(super().received(data))
        if self.chunked and not self.completed:
            self._watch_chunks(self.body_rcv)
        return taken

    def _watch_chunks(self, chunks: ChunkedReceiver) -> None:
        """No length is told beforehand, and lines between chunks are kept until they end."""
        if self.is_kept and self.body_bytes_received >= self.most:
            self._throw_away()
        if len(chunks.control_line) + len(chunks.trailer) > MOST_HEAD_BYTES:
            self.error = BadRequest("Line between chunks too long")
            self.completed = True

    def _throw_away(self) -> None:
        self.is_kept = False
        kept = self.body_rcv.buf
        self.body_rcv.buf = Nowhere(len(kept))
        kept.close()
