"""Plotly's own script from the installed package, compressed once and then served from the disk.

Neither version is held in memory, and nothing is read or compressed before it is asked for.
"""

import gzip
import hashlib
import os
import shutil
from contextlib import suppress
from functools import lru_cache
from importlib.metadata import Distribution, distribution
from io import BytesIO
from pathlib import Path
from threading import Lock
from typing import BinaryIO
from zlib import error as zlib_error

from flask import Flask, Response, current_app, request, send_file, url_for

FOR_EVER = "public, max-age=31536000, immutable"
PIECE_BYTES = 64 * 1024


def serve_plotly(app: Flask, cache: Path) -> None:
    """`cache` is the folder that the compressed script is kept in."""
    app.extensions["oddcup_plotly"] = Compressed(cache)
    app.jinja_env.globals.update(plotly_url=plotly_url)
    app.add_url_rule("/vendor/plotly-<version>.js", "plotly", plotly)


def plotly_url() -> str:
    return url_for("plotly", version=_package().version)


def plotly(version: str) -> Response:
    compressed = request.accept_encodings.quality("gzip") > 0
    kept: Compressed = current_app.extensions["oddcup_plotly"]
    content = kept.content() if compressed else script_path()
    # Ranges and conditions would be of no use to what a browser keeps for ever.
    response = send_file(content, mimetype="text/javascript", conditional=False, etag=False)
    if compressed:
        response.headers["Content-Encoding"] = "gzip"
    response.headers["Vary"] = "Accept-Encoding"
    if version == _package().version:
        response.headers["Cache-Control"] = FOR_EVER
    return response


def script_path() -> Path:
    return Path(str(_package().locate_file("plotly/package_data/plotly.min.js")))


@lru_cache
def _package() -> Distribution:
    return distribution("plotly")


class Compressed:
    """The compressed script: a file in `folder` if one can be kept there, else bytes."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._path: Path | None = None
        self._bytes = b""
        self._turn = Lock()

    def content(self) -> Path | BytesIO:
        """Compresses at the first call of all, unless an earlier process left the right file."""
        with self._turn:
            if self._path is None or not self._path.is_file():
                self._path = None if self._bytes else self._found_or_made()
            return self._path or BytesIO(self._bytes)

    def _found_or_made(self) -> Path | None:
        digest = _digest_of(script_path().open("rb"))
        path = self.folder / f"plotly-{digest}.js.gz"
        try:
            if _unpacks_to(path, digest):
                return path
            return _write(path)
        except OSError:
            self._bytes = gzip.compress(script_path().read_bytes(), mtime=0)
            return None


def _unpacks_to(path: Path, digest: str) -> bool:
    try:
        return _digest_of(gzip.open(path)) == digest
    except (OSError, EOFError, zlib_error):  # none there, or damaged
        return False


def _digest_of(file: BinaryIO | gzip.GzipFile) -> str:
    told = hashlib.sha256()
    with file:
        while piece := file.read(PIECE_BYTES):
            told.update(piece)
    return told.hexdigest()[:20]


def _write(path: Path) -> Path:
    """Whole or not at all, and on its own: those of other versions go."""
    path.parent.mkdir(parents=True, exist_ok=True)
    partial = path.with_name(f"{path.name}.{os.getpid()}")
    try:
        with script_path().open("rb") as script, gzip.open(partial, "wb", 6) as packed:
            shutil.copyfileobj(script, packed, PIECE_BYTES)
        partial.replace(path)
    finally:
        with suppress(OSError):
            partial.unlink(missing_ok=True)
    for old in path.parent.glob("plotly-*.js.gz"):
        if old != path:
            with suppress(OSError):
                old.unlink()
    return path
