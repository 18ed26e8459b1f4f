"""A phone is let in by a code made here, once and for ten minutes, and put out at once."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
import segno
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Device, PairingCode
from app.web.security import open_to_network
from tests.support import page
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.phone import CODE, MACHINE, Phone, blind_test, new_code, seat

HOSTILE = "<script>a=1</script>"


@pytest.fixture
def owner(app: Flask) -> FlaskClient:
    """The browser on the journal's own machine, with the journal open to the network."""
    app.config["WTF_CSRF_ENABLED"] = True
    open_to_network(app, [MACHINE])
    return app.test_client()


@pytest.fixture
def phone(app: Flask, owner: FlaskClient) -> Phone:
    return Phone(app)


def _devices(journal: Database) -> list[Device]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(Device).order_by(Device.id)))


def test_a_code_lets_one_phone_in(owner: FlaskClient, phone: Phone, journal: Database) -> None:
    paired = phone.pair(new_code(owner))
    assert paired.status_code == 303
    assert paired.headers["Location"] == "/"
    assert phone.ask("/brews/").status_code == 200
    (device,) = _devices(journal)
    assert device.name == "Kitchen phone"
    assert phone.secret() not in device.token_hash
    assert "Kitchen phone" in page.text(owner.get("/devices/").text)


def test_the_cookie_is_out_of_reach_of_scripts_and_named_by_the_port(
    owner: FlaskClient, phone: Phone
) -> None:
    answer = phone.pair(new_code(owner))
    (cookie,) = (c for c in answer.headers.getlist("Set-Cookie") if "_device=" in c)
    assert re.match(r"oddcup_8473_device=[\w-]{43};", cookie)  # 32 bytes in base64
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie
    assert "Max-Age=31536000" in cookie
    assert "Domain" not in cookie


@pytest.mark.parametrize("typed", ["{}", " {} ", "lower", "bare"])
def test_a_code_may_be_typed_in_any_fashion(owner: FlaskClient, phone: Phone, typed: str) -> None:
    code = new_code(owner)
    ways = {"lower": code.lower().replace("-", " "), "bare": code.replace("-", "")}
    assert phone.pair(ways.get(typed) or typed.format(code)).status_code == 303


def test_a_code_works_once(app: Flask, owner: FlaskClient, phone: Phone) -> None:
    code = new_code(owner)
    phone.pair(code)
    second = Phone(app, "192.168.1.51")
    answer = second.pair(code)
    assert answer.status_code == 422
    assert "This code does not work." in page.text(answer.text)
    assert second.ask("/").status_code == 403


@pytest.mark.parametrize(("minute", "status"), [("12:09", 303), ("12:10", 422)])
def test_a_code_runs_out_after_ten_minutes(
    owner: FlaskClient, phone: Phone, freeze: Callable[[str], None], minute: str, status: int
) -> None:
    code = new_code(owner)
    freeze(f"2026-09-15T{minute}")
    assert phone.pair(code).status_code == status


def test_looking_at_the_pairing_page_neither_uses_nor_tells_a_code(
    owner: FlaskClient, phone: Phone
) -> None:
    code = new_code(owner)
    right, wrong = (phone.ask("/pair", query_string={"code": c}) for c in (code, "ABC-DEF"))
    tokens = re.compile(r'(name="csrf_token" value=")[^"]+')
    same = [tokens.sub(r"\1", r.text).replace(code, "ABC-DEF") for r in (right, wrong)]
    assert same[0] == same[1]
    assert phone.pair(code).status_code == 303


def test_a_missing_name_is_asked_for_and_leaves_the_code_open(
    owner: FlaskClient, phone: Phone
) -> None:
    code = new_code(owner)
    answer = phone.pair(code, name=" ")
    assert answer.status_code == 422
    assert "Please fill this in." in answer.text
    assert code in answer.text
    assert phone.pair(code).status_code == 303


@pytest.mark.parametrize(("wrong", "status"), [(9, 303), (10, 422)])
def test_ten_wrong_codes_make_the_open_ones_void(
    app: Flask, owner: FlaskClient, phone: Phone, wrong: int, status: int
) -> None:
    code = new_code(owner)
    for number in range(wrong):
        assert Phone(app, f"192.168.1.{100 + number}").pair("222-222").status_code == 422
    assert phone.pair(code).status_code == status
    said = "Ten wrong codes were typed" in page.text(owner.get("/devices/").text)
    assert said == (status == 422)
    assert phone.pair(new_code(owner)).status_code == 303


def test_codes_are_kept_as_hashes_and_cleared_away(
    owner: FlaskClient, journal: Database, freeze: Callable[[str], None]
) -> None:
    code = new_code(owner)
    freeze("2026-09-15T12:30")
    new_code(owner)
    with Session(journal.reader) as session:
        (kept,) = session.scalars(select(PairingCode))
    assert re.fullmatch(r"[0-9a-f]{64}", kept.code_hash)
    assert kept.made_at.minute == 30
    assert code.replace("-", "") not in owner.get("/devices/").text.upper()


def test_open_codes_can_be_made_void(owner: FlaskClient, phone: Phone) -> None:
    code = new_code(owner)
    listed = owner.get("/devices/").text
    assert "1 code is open until 12:10." in page.text(listed)
    owner.post("/devices/codes/void", data=page.form(listed, holding="csrf_token"))
    assert phone.pair(code).status_code == 422


def test_unpairing_counts_from_the_next_request_on(owner: FlaskClient, phone: Phone) -> None:
    phone.pair(new_code(owner))
    assert phone.ask("/brews/").status_code == 200
    token = page.form(owner.get("/devices/").text, holding="csrf_token")
    assert owner.post("/devices/1/unpair", data=token).status_code == 303
    for path in ("/", "/brews/", "/brews/new"):
        assert phone.ask(path).status_code == 403
    assert "No device is paired." in page.text(owner.get("/devices/").text)
    assert owner.post("/devices/1/unpair", data=token).status_code == 303


def test_pairing_gives_a_fresh_secret_and_a_fresh_session(owner: FlaskClient, phone: Phone) -> None:
    """Else whoever planted a cookie on the phone beforehand would be let in with it."""
    planted = "p" * 43
    phone.client.set_cookie(phone.cookie, planted, domain=MACHINE)
    before = page.form(phone.ask("/pair").text, holding="code")
    phone.pair(new_code(owner))
    assert phone.secret() != planted
    assert phone.ask("/settings/", "POST", data=before).status_code == 400
    thief = Phone(phone.client.application)
    thief.client.set_cookie(thief.cookie, planted, domain=MACHINE)
    assert thief.ask("/").status_code == 403


def test_a_device_paired_again_is_one_device(
    owner: FlaskClient, phone: Phone, journal: Database
) -> None:
    phone.pair(new_code(owner))
    phone.pair(new_code(owner), name="Same phone")
    assert [device.unpaired_at is None for device in _devices(journal)] == [False, True]
    assert phone.ask("/").status_code == 200


def test_last_seen_is_kept_to_the_minute(
    owner: FlaskClient, phone: Phone, journal: Database, freeze: Callable[[str], None]
) -> None:
    phone.pair(new_code(owner))
    for second, kept in (("12:00:59", "12:00:00"), ("12:01:00", "12:01:00")):
        freeze(f"2026-09-15T{second}")
        phone.ask("/")
        assert f"{_devices(journal)[0].last_seen_at:%H:%M:%S}" == kept


def test_the_qr_code_holds_the_address_with_the_code(owner: FlaskClient) -> None:
    token = page.form(owner.get("/devices/").text, holding="csrf_token")
    shown = owner.post("/devices/codes", data=token)
    address = f"http://{MACHINE}:8473/pair"
    code = CODE.search(page.text(shown.text))
    assert code
    assert address in page.text(shown.text)
    encoded = f"{address}?code={code.group().replace('-', '')}"
    rows = segno.make_qr(encoded, error="m").matrix_iter(border=4)
    dark = {(x, y) for y, row in enumerate(rows) for x, module in enumerate(row) if module}
    assert _drawn(shown.text) == dark


def _drawn(html: str) -> set[tuple[int, int]]:
    """The modules that the strokes of the dark path cover, one row a line."""
    path = re.search(r'stroke="#000" d="([^"]*)"', html)
    assert path
    found: set[tuple[int, int]] = set()
    x = y = 0.0
    for step, across, down in re.findall(r"([Mmh])(-?[\d.]+) ?(-?[\d.]*)", path.group(1)):
        if step == "h":
            found |= {(int(x) + one, int(y)) for one in range(int(across))}
        x = float(across) + (0 if step == "M" else x)
        y = float(down or 0) + (0 if step == "M" else y)
    return found


def test_opened_for_this_machine_only_no_code_is_made(
    client: FlaskClient, journal: Database
) -> None:
    assert "oddcup serve --lan" in client.get("/devices/").text
    assert client.post("/devices/codes").status_code == 303
    with Session(journal.reader) as session:
        assert session.scalars(select(PairingCode)).first() is None


def test_a_guests_code_needs_an_open_test_that_a_helper_pours(
    owner: FlaskClient, make: Make, journal: Database
) -> None:
    ended = blind_test(make, "Over", ended="undecided", stopped_at=NOON)
    solo = blind_test(make, "Alone", pouring="solo")
    late, alone = seat(make, ended), seat(make, solo, "Hazel")
    seat(make, blind_test(make), "Juniper")
    offered = page.form(owner.get("/devices/").text, holding="seat_id")
    for seat_id in (str(late.id), str(alone.id), "", "999", "x"):
        values = offered | {"seat_id": [seat_id]}
        assert owner.post("/devices/guest-codes", data=values).status_code == 422
    with Session(journal.reader) as session:
        assert session.scalars(select(PairingCode)).first() is None


def test_a_name_stays_text(owner: FlaskClient, phone: Phone) -> None:
    phone.pair(new_code(owner), name=HOSTILE)
    listed = owner.get("/devices/").text
    assert HOSTILE not in listed
    assert HOSTILE in page.text(listed)
