"""A pairing code ends with what it is for, and does not come back to life."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app import create_app
from app.config import Config
from app.database import Database
from app.models import BlindTaster, BlindTest, Taster
from app.web import codes
from app.web.security import open_to_network
from tests.support import asking, page
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.phone import MACHINE, Phone, blind_test, new_code, seat

Freeze = Callable[[str], None]


@pytest.fixture
def owner(app: Flask) -> FlaskClient:
    app.config["WTF_CSRF_ENABLED"] = True
    open_to_network(app, [MACHINE])
    return app.test_client()


@pytest.fixture
def phone(app: Flask, owner: FlaskClient) -> Phone:
    return Phone(app)


def _press(owner: FlaskClient, test: BlindTest, what: str, **typed: str) -> None:
    """Press one of a test's buttons on the journal's own machine."""
    token = page.form(owner.get("/devices/").text, holding="csrf_token")["csrf_token"]
    answer = owner.post(f"/blind/{test.id}/{what}", data={"csrf_token": token, **typed})
    assert answer.status_code == 303


def _open_codes(owner: FlaskClient) -> str:
    shown = page.text(owner.get("/devices/").text)
    return shown[shown.find("code") :] if "open until" in shown else "none"


def _is_over(journal: Database, test: BlindTest) -> str | None:
    with Session(journal.reader) as session:
        return session.scalars(select(BlindTest.ended).where(BlindTest.id == test.id)).one()


def test_a_guests_code_ends_when_its_test_is_stopped(
    owner: FlaskClient, phone: Phone, make: Make, journal: Database
) -> None:
    """C22: it let a guest in for as long as ten minutes after."""
    test = blind_test(make)
    code = new_code(owner, seat(make, test).id)
    _press(owner, test, "stop", reason="the beans are gone")
    assert _is_over(journal, test) == "stopped"
    assert phone.pair(code).status_code == 422
    assert _open_codes(owner) == "none"


def test_a_guests_code_ends_when_its_test_has_shown_what_it_shows(
    owner: FlaskClient, phone: Phone, make: Make, journal: Database
) -> None:
    """C22: by its own rule, noticed when somebody wants the next trial."""
    test = asking.blind_test(make, "r" * 30, entry_key="shown")
    with Session(journal.reader) as session:
        own = session.scalars(select(BlindTaster.id).where(BlindTaster.test_id == test.id)).one()
    code = new_code(owner, own)
    _press(owner, test, "next")
    assert _is_over(journal, test) == "shown"
    assert phone.pair(code).status_code == 422
    assert _open_codes(owner) == "none"


def test_a_guests_code_ends_when_its_test_goes_to_the_bin_and_stays_so(
    owner: FlaskClient, phone: Phone, make: Make
) -> None:
    """C22: bringing the test back does not bring back the code; a new one works."""
    test = blind_test(make)
    own = seat(make, test).id
    code = new_code(owner, own)
    _press(owner, test, "bin")
    assert phone.pair(code).status_code == 422
    _press(owner, test, "restore")
    assert phone.pair(code).status_code == 422
    assert phone.pair(new_code(owner, own)).status_code == 303


@pytest.mark.parametrize("over", [{"ended": "stopped", "stopped_at": NOON}, {"binned_at": NOON}])
def test_a_guests_code_made_while_its_test_ends_is_none(
    app: Flask,
    owner: FlaskClient,
    phone: Phone,
    make: Make,
    journal: Database,
    over: dict[str, str],
) -> None:
    """C22: whatever ended the test, and in whatever order."""
    test = blind_test(make)
    code = new_code(owner, seat(make, test).id)
    with Session(journal.writer) as session, session.begin():
        for name, value in over.items():
            setattr(session.get_one(BlindTest, test.id), name, value)
    assert phone.pair(code).status_code == 422
    assert _open_codes(owner) == "none"


def test_another_tests_end_leaves_the_other_codes_open(
    owner: FlaskClient, phone: Phone, make: Make, app: Flask
) -> None:
    first, second = blind_test(make, "First"), blind_test(make, "Second")
    make.save(Taster(name="Hazel"))
    guest, other = seat(make, first, "Briar"), seat(make, second, "Juniper")
    of_guest, of_other, of_house = (
        new_code(owner, guest.id), new_code(owner, other.id), new_code(owner)
    )  # fmt: skip
    _press(owner, first, "bin")
    assert Phone(app, "192.168.1.61").pair(of_guest).status_code == 422
    assert Phone(app, "192.168.1.62").pair(of_other).status_code == 303
    assert Phone(app, "192.168.1.63").pair(of_house).status_code == 303


@pytest.mark.parametrize("seen_by", ["the phone", "another phone", "the owner", "a file"])
def test_a_code_that_ran_out_stays_so_when_the_clock_is_set_back(
    app: Flask, owner: FlaskClient, phone: Phone, freeze: Freeze, seen_by: str
) -> None:
    """C22: any request after its time ends it for good."""
    code = new_code(owner)
    freeze("2026-09-15T12:11")
    if seen_by == "the phone":
        assert phone.pair(code).status_code == 422
    elif seen_by == "another phone":
        assert Phone(app, "192.168.1.61").ask("/").status_code == 403
    elif seen_by == "the owner":
        assert _open_codes(owner) == "none"
    else:
        phone.ask("/static/css/tokens.css").close()
    freeze("2026-09-15T12:05")
    assert phone.pair(code).status_code == 422
    assert _open_codes(owner) == "none"
    assert phone.pair(new_code(owner)).status_code == 303


def test_a_code_runs_out_though_the_clock_was_set_back_while_nobody_looked(
    owner: FlaskClient, phone: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    """C22: ten minutes also pass by a clock that nobody can set."""
    code, later = new_code(owner), codes.monotonic() + 600
    monkeypatch.setattr(codes, "monotonic", lambda: later)
    assert phone.pair(code).status_code == 422
    assert phone.pair(new_code(owner)).status_code == 303


def test_a_code_does_not_outlive_the_process_that_made_it(
    owner: FlaskClient, phone: Phone, config: Config, freeze: Freeze
) -> None:
    """C22: else a clock set back before the next start would bring it back."""
    code = new_code(owner)
    restarted = create_app(config)
    restarted.config["CLOCK"] = lambda: NOON
    open_to_network(restarted, [MACHINE])
    assert Phone(restarted).pair(code).status_code == 422
    assert "open until" not in page.text(restarted.test_client().get("/devices/").text)
    restarted.extensions["oddcup_database"].dispose()
    assert phone.pair(code).status_code == 303
