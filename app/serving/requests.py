"""A request as it arrives: its body is kept in bounds, and of one that is too large only the start.

The rest is still read, and thrown away, since a browser that is cut off while it sends shows an
error of its own. The app refuses it by its length, in the form it came from (web/bodies.py).
"""

from types import SimpleNamespace
from typing import IO

from waitress.buffers import OverflowableBuffer
from waitress.parser import HTTPRequestParser
from waitress.receiver import ChunkedReceiver
from waitress.utilities import BadRequest

from app.config import MAX_REQUEST_MB

MOST_HEAD_BYTES = 64 * 1024
# Slightly more than the app takes: what is less comes whole to its own answer.
MOST_FORM_BYTES = 2 * 1024 * 1024
MOST_BYTES = (MAX_REQUEST_MB + 1) * 1024 * 1024
MOST_START_BYTES = 1024 * 1024
MOST_READ_BYTES = 1024**3  # more is cut off, whoever sends it
PAIRING = "/pair"
MOST_PAIRING_BYTES = 64 * 1024


class Start:
    """The start of a body that is too large, and how long all of it is."""

    def __init__(self, kept: OverflowableBuffer) -> None:
        self.kept, self.length = kept, len(kept)

    def __len__(self) -> int:
        return self.length

    def append(self, data: bytes) -> None:
        self.length += len(data)
        if len(self.kept) < MOST_START_BYTES:
            self.kept.append(data)

    def getfile(self) -> IO[bytes]:
        file: IO[bytes] = self.kept.getfile()
        return file

    def close(self) -> None:
        self.kept.close()


class Request(HTTPRequestParser):  # type: ignore[misc]  # waitress has no types
    most = MOST_FORM_BYTES
    is_whole = True

    def parse_header(self, head: bytes) -> None:
        super().parse_header(head)
        if self.headers.get("CONTENT_TYPE", "").lower().startswith("multipart/form-data"):
            self.most = MOST_BYTES
        read = MOST_READ_BYTES
        if self.path.rstrip("/") == PAIRING:  # open to devices that nobody let in
            self.most = read = MOST_PAIRING_BYTES
        self.adj = SimpleNamespace(
            max_request_header_size=MOST_HEAD_BYTES, max_request_body_size=read
        )
        if self.content_length >= self.most:
            self._keep_the_start()

    def received(self, data: bytes) -> int:
        taken = int(super().received(data))
        if self.chunked and not self.completed:
            self._watch_chunks(self.body_rcv)
        return taken

    def _watch_chunks(self, chunks: ChunkedReceiver) -> None:
        """No length is told beforehand, and lines between chunks are kept until they end."""
        if self.is_whole and self.body_bytes_received >= self.most:
            self._keep_the_start()
        if len(chunks.control_line) + len(chunks.trailer) > MOST_HEAD_BYTES:
            self.error = BadRequest("Line between chunks too long")
            self.completed = True

    def _keep_the_start(self) -> None:
        self.is_whole = False
        self.body_rcv.buf = Start(self.body_rcv.buf)
