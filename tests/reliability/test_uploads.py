"""An upload that is too large ends in a page of ours, on a real server, and costs no memory."""

from __future__ import annotations

import re
import resource
import socket
from collections.abc import Iterator
from contextlib import suppress
from http.client import HTTPConnection, HTTPResponse

import pytest
from flask import Flask

from tests.support import page
from tests.support.factories import Make
from tests.support.server import served

MB = 1024 * 1024
KIND = {"Content-Type": "multipart/form-data; boundary=x"}
TYPED = "Sweet as it cools"
FORMS = {
    "/sheets/": ("sheet", "The file is larger than 12 MB. Please split it."),
    "/in-and-out/": ("package", "bring it in by “oddcup import FILE”"),
    "/brews/new": ("photo", "This photo is too large; 12 MB is the most."),
    "/brews/1/edit": ("photo", "This photo is too large; 12 MB is the most."),
}


@pytest.fixture
def port(app: Flask, make: Make) -> Iterator[int]:
    make.brew()
    with served(app) as address:
        yield int(address.rsplit(":", 1)[1])


def _body(name: str, megabytes: float) -> Iterator[bytes]:
    yield b'--x\r\nContent-Disposition: form-data; name="note"\r\n\r\n%b\r\n' % TYPED.encode()
    yield b'--x\r\nContent-Disposition: form-data; name="%b"; filename="a"\r\n\r\n' % name.encode()
    for _ in range(int(2 * megabytes)):
        yield b"x" * (MB // 2)
    yield b"\r\n--x--\r\n"


def _send(port: int, path: str, megabytes: float, *, chunked: bool = False) -> tuple[int, str]:
    name = FORMS.get(path, ("photo", ""))[0]
    length = sum(len(part) for part in _body(name, 0)) + int(megabytes * MB)
    connection = HTTPConnection("127.0.0.1", port, timeout=30)
    headers = KIND if chunked else KIND | {"Content-Length": str(length)}
    connection.request("POST", path, _body(name, megabytes), headers, encode_chunked=chunked)
    answer = connection.getresponse()
    text = answer.read().decode()
    connection.close()
    return answer.status, text


def _resident_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


@pytest.mark.parametrize("path", FORMS)
@pytest.mark.parametrize("megabytes", [12.5, 14, 60])
@pytest.mark.parametrize("chunked", [False, True])
def test_a_file_too_large_is_told_beside_its_field(
    port: int, path: str, megabytes: float, chunked: bool
) -> None:
    """From 13 MB on the server said so itself, or the browser that it was cut off; and what was
    typed was gone."""
    name, said = FORMS[path]
    status, text = _send(port, path, megabytes, chunked=chunked)
    assert status == 413
    error = re.search(rf'id="{name}-error">(.*?)</p>', text, re.DOTALL)
    assert error, page.text(text)
    assert said in page.text(error[1]).replace("\xa0", " ")
    assert (TYPED in text) == (name == "photo")


def test_any_other_form_gets_a_page_of_ours(port: int) -> None:
    for path in ("/settings/", "/brews/1/bin", "/no-such-page"):
        status, text = _send(port, path, 14)
        assert status == 413
        assert "A photo or a file may have 12 MB at most" in page.text(text).replace("\xa0", " ")


def test_who_brews_along_first_goes_on_without_the_photo(port: int) -> None:
    connection = HTTPConnection("127.0.0.1", port, timeout=30)
    connection.request("POST", "/along/typed", b"".join(_body("photo", 14)), KIND)
    answer = connection.getresponse()
    assert answer.status == 303
    assert "Sweet" in str(answer.headers["Location"])
    connection.close()


def test_a_photo_for_a_brew_that_is_not_there_is_told_so(port: int) -> None:
    assert _send(port, "/brews/999/edit", 14)[0] == 404


@pytest.mark.parametrize("chunked", [False, True])
def test_what_is_too_large_takes_no_memory(port: int, chunked: bool) -> None:
    _send(port, "/brews/new", 14)
    before = _resident_mb()
    assert _send(port, "/brews/new", 300, chunked=chunked)[0] == 413
    assert _resident_mb() - before < 20


@pytest.mark.parametrize("start", [b"", b"5\r\nhello\r\n0\r\nX: "])
def test_an_endless_line_between_chunks_is_cut_off(port: int, start: bytes) -> None:
    """Such a line is kept until it ends, so that throwing the body away does not bound it."""
    head = b"POST /brews/new HTTP/1.1\r\nHost: 127.0.0.1\r\nTransfer-Encoding: chunked\r\n\r\n"
    with socket.create_connection(("127.0.0.1", port), timeout=10) as sender:
        sent = sender.send(head + start)
        with suppress(ConnectionError):
            while sent < 20 * MB:
                sent += sender.send(b"1" * 60_000)
        assert sent < 20 * MB


@pytest.mark.parametrize("told", [100, -1, 10**30, "9 9", "12MB"])
def test_a_wrong_length_is_never_a_fault(port: int, told: int | str) -> None:
    """A length below what is sent, none at all, or more than anybody sends."""
    body = b"".join(_body("note_b", 1)).replace(b'; filename="a"', b"")
    with socket.create_connection(("127.0.0.1", port), timeout=10) as sender:
        head = f"POST /brews/new HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: {told}\r\n"
        kind = "Content-Type: multipart/form-data; boundary=x\r\nConnection: close\r\n\r\n"
        with suppress(ConnectionError):
            sender.sendall((head + kind).encode() + body)
        answer = HTTPResponse(sender)
        try:
            answer.begin()
        except ConnectionError:
            return  # cut off with the rest of it on the way
        assert answer.status in {400, 413, 422}
