"""Only this machine and paired devices are let in; a guest sees one test's taster pages."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from flask import Flask
from flask.testing import FlaskClient

from app.config import Config
from app.models import Trial
from app.web.security import open_to_network
from tests.migrations.rows import read_rows
from tests.support import page
from tests.support.addresses import is_api, some_values
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.household import furnish
from tests.support.phone import MACHINE, PHONE, Phone, blind_test, new_code, seat

FORGED = ("", "x", "p" * 43, "a" * 64, "1", "é" * 50, "%00", "x" * 3000)
GUESTS_PAGES = {
    "devices.guest", "devices.guest_state",
    "blind.trial", "blind.trial_state", "blind.answer", "blind.reveal", "blind.after",
}  # fmt: skip
FOR_ANYONE = {"devices.pair", "devices.pair_now"}
# Who asks, by which name, and what comes back.
HOSTS = (
    ("127.0.0.1", "127.0.0.1", 200),
    ("127.0.0.1", "localhost:8473", 200),
    ("127.0.0.1", f"{MACHINE}:8473", 403),
    (MACHINE, f"{MACHINE}:8473", 403),
    (PHONE, "127.0.0.1:8473", 403),
    (PHONE, "localhost", 403),
    (PHONE, "evil.example", 400),
    (PHONE, "192.168.1.21", 400),
    (PHONE, f"{MACHINE}.evil.example", 400),
    ("127.0.0.1", "evil.example", 400),
    ("1270.0.0.1", "localhost", 403),
    ("", "localhost", 403),
)


@pytest.fixture
def owner(app: Flask) -> FlaskClient:
    app.config["WTF_CSRF_ENABLED"] = True
    open_to_network(app, [MACHINE])
    return app.test_client()


@pytest.fixture
def phone(app: Flask, owner: FlaskClient, make: Make) -> Phone:
    """A phone that is not paired; the journal is full."""
    furnish(make)
    return Phone(app)


def _addresses(app: Flask, method: str) -> Iterator[tuple[str, str]]:
    """Endpoint and address of every route that takes the method, ids being 1."""
    with app.test_request_context():
        for rule in app.url_map.iter_rules():
            if method in (rule.methods or ()) and not is_api(rule):
                filled = some_values(rule)
                if "filename" in filled:
                    filled["filename"] = "js/chart.js"
                yield rule.endpoint, app.url_for(rule.endpoint, **filled)


@pytest.mark.parametrize("method", ["GET", "HEAD", "POST", "OPTIONS"])
def test_a_device_that_is_not_paired_gets_the_same_page_everywhere(
    app: Flask, phone: Phone, config: Config, method: str
) -> None:
    before = read_rows(config.url)
    refused = phone.ask("/no-such-page", method)
    assert refused.status_code == 403
    assert refused.headers["Cache-Control"] == "no-store"
    for endpoint, path in [*_addresses(app, method), ("", "/static/../app.db"), ("", "//x")]:
        if endpoint not in FOR_ANYONE:
            answer = phone.ask(path, method)
            assert (answer.status_code, answer.data) == (403, refused.data), path
    assert read_rows(config.url) == before


def test_that_page_and_the_pairing_page_hold_nothing_of_the_journal(phone: Phone) -> None:
    for path in ("/", "/pair"):
        shown = phone.ask(path)
        links = set(re.findall(r'(?:href|src|action)="([^"]+)"', shown.text))
        files = {link for link in links if link.startswith("/static/")}
        assert links - files == {"/pair"}
        assert len(files) == 5
        for file in files:
            answer = phone.ask(file)
            assert answer.status_code == 200, file
            answer.close()
        assert "Plum" not in shown.text
        assert "default-src 'none'" in shown.headers["Content-Security-Policy"]


def test_a_made_up_cookie_lets_nobody_in(owner: FlaskClient, phone: Phone, app: Flask) -> None:
    Phone(app, "192.168.1.51").pair(new_code(owner))
    for secret in FORGED:
        phone.client.set_cookie(phone.cookie, secret, domain=MACHINE)
        assert phone.ask("/brews/").status_code == 403, secret


def test_the_hash_in_the_journal_is_no_key(
    owner: FlaskClient, phone: Phone, app: Flask, config: Config
) -> None:
    Phone(app, "192.168.1.51").pair(new_code(owner))
    (row,) = read_rows(config.url)["device"]
    phone.client.set_cookie(phone.cookie, row["token_hash"], domain=MACHINE)
    assert phone.ask("/").status_code == 403


def test_only_loopback_by_a_loopback_name_is_this_machine(app: Flask, phone: Phone) -> None:
    for peer, host, status in HOSTS:
        answer = Phone(app, peer).ask("/brews/", host=host)
        assert answer.status_code == status, (peer, host)
        assert ("Plum" in answer.text) == (status == 200), (peer, host)


def test_a_rebound_name_gets_nothing_even_from_a_paired_phone(
    owner: FlaskClient, phone: Phone
) -> None:
    phone.pair(new_code(owner))
    for name in ("localhost", "evil.example"):
        phone.client.set_cookie(phone.cookie, phone.secret(), domain=name)
    assert phone.ask("/brews/", host="localhost").status_code == 200
    answer = phone.ask("/brews/", host="evil.example")
    assert answer.status_code == 400
    assert "Plum" not in answer.text


def test_headers_of_a_proxy_make_nobody_this_machine(phone: Phone) -> None:
    for name in ("X-Forwarded-For", "X-Real-IP", "Forwarded", "X-Forwarded-Host"):
        assert phone.ask("/", headers={name: "127.0.0.1"}).status_code == 403


def test_the_network_is_shut_unless_it_was_opened(app: Flask) -> None:
    assert Phone(app).ask("/pair").status_code == 400
    assert Phone(app).ask("/pair", host="localhost").status_code == 200
    assert Phone(app).ask("/", host="localhost").status_code == 403


def test_devices_are_kept_on_this_machine_only(
    app: Flask, owner: FlaskClient, phone: Phone
) -> None:
    phone.pair(new_code(owner))
    for method in ("GET", "POST"):
        for endpoint, path in _addresses(app, method):
            kept_here = endpoint == "today.demo" or endpoint.startswith(("devices.", "backups."))
            if kept_here and endpoint not in FOR_ANYONE:
                assert phone.ask(path, method).status_code == 403, path


def test_a_paired_phone_needs_the_token_of_its_own_pages(
    owner: FlaskClient, phone: Phone, config: Config
) -> None:
    phone.pair(new_code(owner))
    before = read_rows(config.url)
    assert phone.ask("/brews/1/bin", "POST").status_code == 400
    token = page.form(phone.ask("/brews/new").text, holding="entry_key")["csrf_token"]
    for origin in ("http://evil.example", "null", f"https://{MACHINE}:8473", f"http://{MACHINE}"):
        sent = phone.ask(
            "/brews/1/bin", "POST", data={"csrf_token": token}, headers={"Origin": origin}
        )
        assert sent.status_code == 403, origin
    assert read_rows(config.url) == before
    own = {"Origin": f"http://{MACHINE}:8473"}
    sent = phone.ask("/brews/1/bin", "POST", data={"csrf_token": token}, headers=own)
    assert sent.status_code == 303


def test_a_form_open_too_long_at_pairing_names_no_places(phone: Phone) -> None:
    answer = phone.ask("/pair", "POST", data={"code": "ABC-DEF", "name": "Phone"})
    assert answer.status_code == 400
    assert "/brews" not in answer.text


@pytest.mark.parametrize("method", ["GET", "POST"])
def test_a_guest_is_refused_everywhere_but_in_the_test(
    app: Flask, owner: FlaskClient, phone: Phone, config: Config, method: str
) -> None:
    assert phone.pair(new_code(owner, seat_id=1)).headers["Location"] == "/guest"
    before = read_rows(config.url)
    for endpoint, path in _addresses(app, method):
        allowed = endpoint in GUESTS_PAGES | FOR_ANYONE | {"static"}
        answer = phone.ask(path, method)
        assert (answer.status_code != 403) == allowed, path
        assert allowed or "one taster of one blind test" in answer.text
        answer.close()
    assert read_rows(config.url) == before


def test_a_guest_of_another_test_sees_neither_trial_nor_title(
    app: Flask, owner: FlaskClient, phone: Phone, make: Make
) -> None:
    other = blind_test(make, "Another question")
    phone.pair(new_code(owner, seat(make, other).id))
    for path in ("/blind/trials/1", "/blind/trials/999"):
        answer = phone.ask(path)
        assert answer.status_code == 403
        assert "Plum" not in answer.text
    shown = page.text(phone.ask("/guest").text)
    assert "Another question" in shown
    assert "No trial yet" in shown


def test_a_guest_sees_nothing_of_another_tasters_trials(
    owner: FlaskClient, phone: Phone, make: Make
) -> None:
    test = blind_test(make, "Two at the table", several_tasters=True)
    own, other = seat(make, test, "Briar"), seat(make, test, "Juniper")
    mine, theirs = (
        make.save(
            Trial(
                test_id=test.id, taster_id=one.taster_id, number=number, pouring="helper",
                cups="ABA", codes="417 902 655", brewed_first="A", drawn_at=NOON,
            )
        )
        for number, one in enumerate((own, other), 1)
    )  # fmt: skip
    phone.pair(new_code(owner, own.id))
    assert phone.ask(f"/blind/trials/{mine.id}").status_code == 200
    for method, step in (("GET", ""), ("POST", "/answer"), ("POST", "/reveal")):
        path = f"/blind/trials/{theirs.id}{step}"
        assert phone.ask(path, method).status_code == 403, path
    shown = phone.ask("/guest").text
    assert "Briar" in shown
    assert "Juniper" not in shown
    assert f"/blind/trials/{theirs.id}" not in shown


def test_a_guest_finds_the_trial_from_the_first_page(owner: FlaskClient, phone: Phone) -> None:
    phone.pair(new_code(owner, seat_id=1))
    shown = phone.ask("/guest")
    assert "served: taste and answer" in shown.text
    assert 'href="/blind/trials/1"' in shown.text
    assert "ABA" not in shown.text
    assert phone.ask("/blind/trials/1").status_code == 200


def test_a_guest_may_not_open_a_solo_trial_which_shows_its_key(
    owner: FlaskClient, phone: Phone, make: Make
) -> None:
    test = blind_test(make, "Poured both ways")
    own = seat(make, test)
    trial = make.save(
        Trial(
            test_id=test.id, taster_id=own.taster_id, number=1, pouring="solo", cups="ABA",
            codes="", brewed_first="A", drawn_at=NOON,
        )
    )  # fmt: skip
    address = f"/blind/trials/{trial.id}"
    assert owner.get(address).status_code == 200
    phone.pair(new_code(owner, own.id))
    assert phone.ask(address).status_code == 403
    assert address not in phone.ask("/guest").text
