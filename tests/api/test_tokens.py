"""A token opens what it is for, nothing else opens the API, and a token opens no page."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import timedelta

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from app.config import Config
from app.database import Database
from app.journal.tokens import revoke_token
from app.web.api.operations import operation_of
from app.web.security import open_to_network
from tests.migrations.rows import read_rows
from tests.support import page
from tests.support.addresses import some_values
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.household import furnish
from tests.support.phone import MACHINE, PHONE, Phone, new_code
from tests.support.scripts import EVERYTHING, Script, make_token

Freeze = Callable[[object], None]
FORGED = (
    "",
    "x",
    "oddcup-1-",
    f"oddcup-1-{'a' * 43}",
    f"oddcup-9-{'a' * 43}",
    "é" * 50,
    "x" * 5000,
)
METHODS = ("GET", "HEAD", "POST", "OPTIONS", "PUT", "DELETE")


@pytest.fixture
def full(app: Flask, make: Make) -> Flask:
    """The app on a journal that is full, with CSRF on and phones let in."""
    furnish(make)
    app.config["WTF_CSRF_ENABLED"] = True
    open_to_network(app, [MACHINE])
    return app


def _addresses(app: Flask, *, api: bool) -> Iterator[tuple[str, str, str]]:
    """Endpoint, method and address of every route of the API, or of every other one."""
    with app.test_request_context():
        for rule in app.url_map.iter_rules():
            filled = some_values(rule)
            if "filename" in filled:
                filled["filename"] = "js/chart.js"
            path = app.url_for(rule.endpoint, **filled)
            if path.startswith("/api/") == api:
                yield from ((rule.endpoint, method, path) for method in sorted(rule.methods or ()))


def _refused(answer: TestResponse, status: int, path: str) -> None:
    assert answer.status_code == status, (path, answer.text)
    assert answer.mimetype == "application/problem+json", path
    if answer.data:
        assert answer.json["status"] == status
        assert "Plum" not in answer.text


def _refused_everywhere(script: Script, app: Flask, status: int) -> None:
    tried = [*_addresses(app, api=True)]
    assert len(tried) > 10
    for _, method, path in tried:
        _refused(
            script.ask(path, method, **({"json": {}} if method == "POST" else {})), status, path
        )
    for method in METHODS:
        for path in ("/api", "/api/", "/api/v1", "/api/v1/none", "/api//v1/brews", "/api/v2/brews"):
            _refused(script.ask(path, method), status, path)


def test_no_token_and_forged_tokens_open_no_address(full: Flask, config: Config) -> None:
    before = read_rows(config.url)
    for token in FORGED[:4]:
        _refused_everywhere(Script(full, token), full, 401)
    for token in FORGED:
        _refused(Script(full, token).ask("/api/v1/brews"), 401, token)
    assert read_rows(config.url) == before


def test_only_the_bearer_header_counts(full: Flask, journal: Database, config: Config) -> None:
    token = make_token(journal)
    for headers in (
        {"Authorization": f"Basic {token}"},
        {"Authorization": token},
        {"X-Api-Key": token},
        {"Cookie": f"token={token}"},
    ):
        _refused(Script(full, "").ask("/api/v1/brews", headers=headers), 401, str(headers))
    _refused(Script(full, "").ask(f"/api/v1/brews?access_token={token}"), 401, "in the address")
    (row,) = read_rows(config.url)["api_token"]
    _refused(Script(full, f"oddcup-1-{row['secret_hash'][:43]}").ask("/api/v1/brews"), 401, "hash")
    assert token.rpartition("-")[2] not in str(row)


def test_a_revoked_token_opens_nothing_from_then_on(full: Flask, journal: Database) -> None:
    script = Script(full, make_token(journal))
    assert script.ask("/api/v1/brews").status_code == 200
    with journal.writing() as session:
        assert revoke_token(session, 1, NOON) == "Scale"
    _refused_everywhere(script, full, 401)


def test_an_expired_token_opens_nothing(
    full: Flask, journal: Database, freeze: Callable[[object], None]
) -> None:
    script = Script(full, make_token(journal, expires_at=NOON + timedelta(days=30)))
    freeze(NOON + timedelta(days=30) - timedelta(seconds=1))
    assert script.ask("/api/v1/brews").status_code == 200
    freeze(NOON + timedelta(days=30))
    _refused_everywhere(script, full, 401)


@pytest.mark.parametrize("scope", EVERYTHING)
def test_a_scope_opens_its_own_addresses_only(
    full: Flask, journal: Database, config: Config, scope: str
) -> None:
    script, before = Script(full, make_token(journal, scope)), read_rows(config.url)
    for endpoint, method, path in _addresses(full, api=True):
        operation = operation_of(full, endpoint)
        if method == "OPTIONS":  # two routes may share an address, which is asked what it takes
            assert script.ask(path, method).status_code in (200, 403), path
            continue
        answer = script.ask(path, method, **({"json": {}} if method == "POST" else {}))
        if operation is None or operation.scope == scope:
            assert answer.status_code in (200, 404, 422), (path, answer.text)
        else:
            _refused(answer, 403, path)
            assert operation.scope in answer.headers["WWW-Authenticate"]
    after = read_rows(config.url)
    assert {name for name in after if after[name] != before[name]} <= {"api_token"}


def test_a_token_of_this_machine_is_refused_from_any_other_address(
    full: Flask, journal: Database
) -> None:
    token = make_token(journal)
    host = f"{MACHINE}:{full.config['JOURNAL'].port}"
    for peer, name in ((PHONE, host), (MACHINE, host), (PHONE, "localhost"), ("127.0.0.1", host)):
        _refused(Script(full, token, peer, name).ask("/api/v1/brews"), 403, f"{peer} {name}")
    _refused_everywhere(Script(full, token, PHONE, host), full, 403)
    assert Script(full, token).ask("/api/v1/brews").status_code == 200


def test_a_token_for_the_network_is_let_in_from_there_by_a_known_name(
    full: Flask, journal: Database
) -> None:
    token = make_token(journal, from_network=True)
    host = f"{MACHINE}:{full.config['JOURNAL'].port}"
    assert Script(full, token, PHONE, host).ask("/api/v1/brews").status_code == 200
    for peer in (PHONE, "127.0.0.1"):
        for name in ("evil.example", f"{MACHINE}.evil.example", "192.168.1.99"):
            _refused(Script(full, token, peer, name).ask("/api/v1/brews"), 400, name)


def test_cookies_open_nothing_of_the_api(full: Flask) -> None:
    """Neither those of the machine's own browser nor a paired phone's."""
    owner, phone = full.test_client(), Phone(full)
    owner.get("/settings/")
    phone.pair(new_code(owner))
    assert phone.ask("/brews/").status_code == 200
    for _, method, path in _addresses(full, api=True):
        _refused(owner.open(path, method=method), 401, path)
        _refused(phone.ask(path, method), 401, path)


def test_a_token_opens_no_page_and_sends_no_form(
    full: Flask, journal: Database, config: Config
) -> None:
    """From the network every page is refused as it was without the token; on this machine pages
    are open to anyone, and forms still need the token of their page."""
    token = make_token(journal, from_network=True)
    host = f"{MACHINE}:{full.config['JOURNAL'].port}"
    bare = Phone(full).ask("/no-such-page")
    elsewhere, here = Script(full, token, PHONE, host), Script(full, token)
    before, tried = read_rows(config.url), 0
    for endpoint, method, path in _addresses(full, api=False):
        tried += 1
        if endpoint not in ("devices.pair", "devices.pair_now"):
            answer = elsewhere.ask(path, method)
            assert answer.status_code == 403, path
            assert answer.data == (b"" if method == "HEAD" else bare.data), path
        if method == "POST":
            assert here.ask(path, method).status_code == 400, path
    assert tried > 150
    assert read_rows(config.url) == before


def test_last_use_is_noted_once_a_minute(
    full: Flask, journal: Database, config: Config, freeze: Callable[[object], None]
) -> None:
    script = Script(full, make_token(journal))
    noted = []
    for seconds in (0, 59, 60, 61):
        freeze(NOON + timedelta(seconds=seconds))
        assert script.ask("/api/v1/brews").status_code == 200
        noted.append(read_rows(config.url)["api_token"][0]["last_used_at"])
    assert noted[0] == noted[1] != noted[2] == noted[3]


def test_a_script_that_asks_without_end_is_told_to_wait(full: Flask, journal: Database) -> None:
    full.config["API_A_MINUTE"] = 3
    script, other = Script(full, make_token(journal)), Script(full, make_token(journal))
    assert [script.ask("/api/v1/brews").status_code for _ in range(3)] == [200] * 3
    refused = script.ask("/api/v1/brews")
    _refused(refused, 429, "/api/v1/brews")
    assert 1 <= int(refused.headers["Retry-After"]) <= 61
    assert other.ask("/api/v1/brews").status_code == 200


def test_the_page_makes_a_token_shows_it_once_and_revokes_it(
    app: Flask, client: FlaskClient
) -> None:
    values = page.filled(client.get("/tokens/").text, holding="name", name="Kitchen scale")
    made = client.post("/tokens/", data=values)
    token = re.findall(r"oddcup-\d+-[\w-]{43}", page.text(made.text))[0]
    assert made.headers["Cache-Control"] == "no-store"
    script = Script(app, token)
    assert script.ask("/api/v1/openapi.json").status_code == 200
    assert script.ask("/api/v1/brews").status_code == 403
    listed = page.text(client.get("/tokens/").text)
    assert "Kitchen scale" in listed
    assert "log brews; from this machine only" in listed
    assert token not in client.get("/tokens/").text
    client.post("/tokens/1/revoke")
    assert script.ask("/api/v1/openapi.json").status_code == 401
    assert client.post("/tokens/1/revoke").status_code == 404
    assert "Kitchen scale" not in page.text(client.get("/tokens/").text.partition("In use")[2])


def test_a_token_for_nothing_and_one_without_a_name_are_not_made(client: FlaskClient) -> None:
    shown = client.post("/tokens/", data={"name": "", "lasts": ""})
    assert shown.status_code == 422
    assert "Choose at least one thing" in page.text(shown.text)
    assert "Please fill this in" in page.text(shown.text)
    odd = {"name": "Scale", "may_read": "y", "lasts": "7"}
    assert client.post("/tokens/", data=odd).status_code == 422


def test_tokens_are_kept_on_the_journals_own_machine(full: Flask) -> None:
    phone = Phone(full)
    phone.pair(new_code(full.test_client()))
    for path, method in (("/tokens/", "GET"), ("/tokens/", "POST"), ("/tokens/1/revoke", "POST")):
        assert phone.ask(path, method).status_code == 403
