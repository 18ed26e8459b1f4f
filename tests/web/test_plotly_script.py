"""Plotly's script goes out compressed: the right bytes, compressed once, held by the disk."""

from __future__ import annotations

import gzip
import shutil
from concurrent.futures import ThreadPoolExecutor
from io import BytesIO
from pathlib import Path
from threading import Barrier

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from app.web import plotly_script
from app.web.plotly_script import Compressed, plotly_url, script_path

PLAIN = script_path().read_bytes()


@pytest.fixture
def script(app: Flask) -> str:
    with app.test_request_context():
        return plotly_url()


@pytest.fixture
def compressions(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """A line for each time that the script is compressed, to a file or in memory."""
    counted: list[str] = []
    write, compress = plotly_script._write, gzip.compress

    def written(path: Path) -> Path:
        made = write(path)
        counted.append("file")
        return made

    def compressed(plain: bytes, *, mtime: int) -> bytes:
        counted.append("memory")
        return compress(plain, mtime=mtime)

    monkeypatch.setattr(plotly_script, "_write", written)
    monkeypatch.setattr(gzip, "compress", compressed)
    return counted


def reply(client: FlaskClient, address: str, asked: str) -> TestResponse:
    """Read to its end and closed, as a server does it."""
    return client.get(address, headers={"Accept-Encoding": asked}, buffered=True)


def unpacked(content: Path | BytesIO) -> bytes:
    return gzip.decompress(content.read_bytes() if isinstance(content, Path) else content.read())


@pytest.mark.parametrize("asked", ["gzip", "gzip, deflate, br, zstd", "*"])
def test_browsers_get_it_compressed_and_keep_it_for_ever(
    client: FlaskClient, script: str, asked: str
) -> None:
    answer = reply(client, script, asked)
    assert gzip.decompress(answer.data) == PLAIN
    assert answer.headers["Content-Encoding"] == "gzip"
    assert answer.headers["Content-Length"] == str(len(answer.data))
    assert answer.headers["Vary"] == "Accept-Encoding"
    assert answer.headers["Cache-Control"] == "public, max-age=31536000, immutable"
    assert answer.mimetype == "text/javascript"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize("asked", ["", "identity", "br", "gzip;q=0, br"])
def test_who_cannot_unpack_gets_it_plain(client: FlaskClient, script: str, asked: str) -> None:
    answer = reply(client, script, asked)
    assert answer.data == PLAIN
    assert "Content-Encoding" not in answer.headers
    assert answer.headers["Vary"] == "Accept-Encoding"
    assert "immutable" in answer.headers["Cache-Control"]


def test_the_address_of_another_version_is_not_kept(client: FlaskClient) -> None:
    answer = reply(client, "/vendor/plotly-0.0.1.js", "gzip")
    assert gzip.decompress(answer.data) == PLAIN
    assert "immutable" not in answer.headers["Cache-Control"]


@pytest.mark.parametrize("asked", ["gzip", ""])
def test_the_server_streams_a_file(app: Flask, script: str, asked: str) -> None:
    """Which it does without holding a thread, or the file in memory."""
    here = {"REMOTE_ADDR": "127.0.0.1"}
    with app.test_request_context(script, headers={"Accept-Encoding": asked}, environ_base=here):
        answer = app.full_dispatch_request()
        assert answer.direct_passthrough
        answer.close()


def test_nothing_is_compressed_before_it_is_asked_for(
    tmp_path: Path, compressions: list[str]
) -> None:
    kept = Compressed(tmp_path / "cache")
    assert list(tmp_path.iterdir()) == []
    kept.content()
    assert compressions == ["file"]


def test_it_is_compressed_once_for_this_and_later_processes(
    tmp_path: Path, compressions: list[str]
) -> None:
    kept = Compressed(tmp_path)
    first = kept.content()
    assert kept.content() == first
    assert Compressed(tmp_path).content() == first
    assert compressions == ["file"]
    assert unpacked(first) == PLAIN
    assert list(tmp_path.iterdir()) == [first]


def test_first_requests_at_once_wait_for_one_compression(
    tmp_path: Path, compressions: list[str]
) -> None:
    kept, together = Compressed(tmp_path), Barrier(8)

    def ask(_: int) -> Path | BytesIO:
        together.wait()
        return kept.content()

    with ThreadPoolExecutor(8) as threads:
        found = set(threads.map(ask, range(8)))
    assert compressions == ["file"]
    assert len(found) == 1


@pytest.mark.parametrize("damage", [b"", b"not compressed", "cut", "turned"])
def test_a_damaged_file_is_made_anew(tmp_path: Path, damage: bytes | str) -> None:
    path = Compressed(tmp_path).content()
    assert isinstance(path, Path)
    whole = path.read_bytes()
    if damage == "cut":
        damage = whole[: len(whole) // 2]
    elif damage == "turned":
        damage = whole[:5000] + bytes([whole[5000] ^ 1]) + whole[5001:]
    assert isinstance(damage, bytes)
    path.write_bytes(damage)
    assert unpacked(Compressed(tmp_path).content()) == PLAIN
    assert unpacked(path) == PLAIN


def test_one_of_an_older_version_goes(tmp_path: Path) -> None:
    (tmp_path / "plotly-0123.js.gz").write_bytes(b"old")
    (tmp_path / "other.gz").write_bytes(b"not ours")
    made = Compressed(tmp_path).content()
    assert {path.name for path in tmp_path.iterdir()} == {"other.gz", Path(str(made)).name}


def test_one_that_was_cleared_away_meanwhile_is_made_anew(tmp_path: Path) -> None:
    kept = Compressed(tmp_path)
    path = kept.content()
    assert isinstance(path, Path)
    path.unlink()
    assert unpacked(kept.content()) == PLAIN


def test_without_a_disk_to_write_to_it_is_compressed_once_in_memory(
    tmp_path: Path, compressions: list[str]
) -> None:
    """A file where the folder should be: root, too, cannot write there."""
    (tmp_path / "cache").write_text("in the way")
    kept = Compressed(tmp_path / "cache")
    assert unpacked(kept.content()) == PLAIN
    assert unpacked(kept.content()) == PLAIN
    assert compressions == ["memory"]
    assert [path.name for path in tmp_path.iterdir()] == ["cache"]


def test_a_disk_that_fills_up_leaves_nothing_half_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fill_up(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(shutil, "copyfileobj", fill_up)
    assert unpacked(Compressed(tmp_path).content()) == PLAIN
    assert list(tmp_path.iterdir()) == []
