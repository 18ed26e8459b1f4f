"""What is sent is bounded before it is read, and costs little whatever it holds."""

from __future__ import annotations

import unicodedata
from io import BytesIO
from time import perf_counter
from typing import Any
from urllib.parse import quote_plus, urlencode

import pytest
from flask import Flask, Request
from flask.testing import FlaskClient
from wtforms import Form

from app.text import search_text
from app.web.fields import DayField, LineField, NoteField, NumberField, clean_text
from app.web.security import open_to_network
from tests.support import page
from tests.support.factories import Make
from tests.support.phone import MACHINE, Phone, new_code

URLENCODED = "application/x-www-form-urlencoded"
MB = 1024 * 1024
# Each takes minutes to normalise as it stands: marks that have to change places, plainly so, and
# as characters that only turn into marks on the way.
HOSTILE = {
    "marks": "\u0301\u0323",
    "Tibetan": "\u0f73",
    "half-width": "\uff9e\u0f73",
    "one letter": "ﷺ",
    "controls": "\x00\x01",
    "surrogates": "\ud800",
    "jamo": "\u1112\u1161\u11ab",
}


class Everything(Form):
    line = LineField("Line", longest=120)
    note = NoteField("Note", longest=4000)
    number = NumberField("Number", bounds=(0, 10))
    day = DayField("Day")


@pytest.fixture
def phone(app: Flask) -> Phone:
    app.config["WTF_CSRF_ENABLED"] = True
    open_to_network(app, [MACHINE])
    return Phone(app)


@pytest.fixture
def unread(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Endpoints that looked into the body of their request."""
    looked: list[str] = []
    usual = Request._load_form_data

    def look(request: Request) -> None:
        looked.append(str(request.endpoint))
        usual(request)

    monkeypatch.setattr(Request, "_load_form_data", look)
    return looked


@pytest.mark.parametrize("kind", [URLENCODED, "multipart/form-data; boundary=x", "text/plain", ""])
def test_a_large_body_for_pairing_is_refused_unread(
    phone: Phone, unread: list[str], kind: str
) -> None:
    """C21: 11 MB were taken from a device that is not paired, and a second of work was done."""
    for size in (5000, 2 * MB):
        answer = phone.ask("/pair", "POST", data=b"code=" + b"x" * size, content_type=kind)
        assert answer.status_code == 413
        assert "too large" in answer.text
        assert "/brews" not in answer.text
    assert unread == []


def test_a_body_of_unknown_length_is_cut_off(phone: Phone) -> None:
    """C21: waitress counts what comes in chunks; a server that does not is bounded as well."""
    stream = BytesIO(b"code=" + b"x" * MB)
    answer = phone.client.open(
        "/pair", method="POST", input_stream=stream, content_type=URLENCODED,
        base_url=f"http://{MACHINE}", environ_overrides={
            "REMOTE_ADDR": phone._peer, "wsgi.input_terminated": True,
        },
    )  # fmt: skip
    assert answer.status_code == 413
    assert stream.tell() < 10_000


def test_a_long_name_in_any_script_still_pairs(app: Flask, phone: Phone) -> None:
    """C21: 120 characters, twelve bytes each as they are sent."""
    code = new_code(app.test_client())
    assert phone.pair(code, name="𐍈" * 120).status_code == 303


@pytest.mark.parametrize(
    ("path", "size", "status"),
    [
        ("/brews/new", 11 * MB, 422),
        ("/brews/new", 12 * MB, 413),
        ("/brews/1/edit", 2 * MB, 413),
        ("/settings/", MB - 100, 422),
        ("/settings/", MB, 413),
        ("/gear/brewers/new", 2 * MB, 413),
        ("/no-such-page", 2 * MB, 413),
    ],
)
def test_only_a_form_with_a_photo_takes_more_than_one_megabyte(
    client: FlaskClient, path: str, size: int, status: int
) -> None:
    """C21: any form took 12 MB."""
    kind = "multipart/form-data; boundary=x" if path == "/brews/new" else URLENCODED
    part = b'--x\r\nContent-Disposition: form-data; name="photo"; filename="a"\r\n\r\n'
    body = part + b"x" * size + b"\r\n--x--" if path == "/brews/new" else b"a=" + b"x" * size
    assert client.post(path, data=body, content_type=kind).status_code == status


@pytest.mark.parametrize("kind", HOSTILE)
@pytest.mark.parametrize("field", ["line", "note", "number", "day"])
def test_a_megabyte_of_hostile_text_costs_little_in_any_field(kind: str, field: str) -> None:
    """C21: its length is looked at first, and what is left of it cannot take n * n steps."""
    for size in (MB, 15_000, 900):
        text = "a" + HOSTILE[kind] * (size // len(HOSTILE[kind]))
        began = perf_counter()
        form = Everything(Sent({field: text}))
        if form.validate():
            search_text(str(form[field].data))
        assert perf_counter() - began < 1


class Sent(dict[str, str]):
    """A form's fields as WTForms reads them."""

    def getlist(self, name: str) -> list[Any]:
        return [self[name]] if name in self else []


def test_too_long_a_text_is_refused_and_shown_again_whole() -> None:
    """C21: it is not normalised, and nothing of it is lost."""
    text = "e\u0301" * 5000
    form = Everything(Sent({"note": text, "number": "1" * 2000}))
    assert not form.validate()
    assert form.note.errors == ["Keep this within 4000 characters."]
    assert form.note.data == unicodedata.normalize("NFC", text)
    assert form.number.errors == ["Keep this within 1000 characters."]
    assert form.number._value() == "1" * 2000
    far = Everything(Sent({"note": text * 10}))
    assert not far.validate()
    assert far.note.data == text * 10


def test_text_that_fits_once_it_is_normalised_is_taken() -> None:
    """C21: four characters may become one, and what people write is left as it is."""
    form = Everything(Sent({"line": "\u03b1\u0314\u0301\u0345" * 120}))
    assert form.validate()
    assert form.line.data == "\u1f85" * 120
    for word in ("Ngũ\u0303 vị", "ཧཱུྃ", "ผู้ที่", "Z\u0351\u0367\u0311", "हिन्दी", "ﾊﾞﾆﾗ"):
        assert clean_text(word) == unicodedata.normalize("NFC", word)


def test_a_sent_form_of_hostile_text_is_answered_soon(client: FlaskClient, make: Make) -> None:
    """C21: through the pages: 11 MB of it took a second and more."""
    make.brew()
    for name in ("note", "new_bean", "dose_g", "photo_alt"):
        offered = page.form(client.get("/brews/new").text, holding="entry_key")
        body = urlencode(offered | {name: ["\u0301\u0323" * 40_000]}, doseq=True)
        began = perf_counter()
        answer = client.post("/brews/new", data=body, content_type=URLENCODED)
        assert answer.status_code in {303, 422}
        assert perf_counter() - began < 2
    began = perf_counter()
    assert client.get("/brews/?q=" + quote_plus("\u0301\u0323") * 5000).status_code == 200
    assert perf_counter() - began < 2
