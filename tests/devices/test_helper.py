"""A helper's code opens the serving cards of one blind test, and nothing else."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app import create_app
from app.config import Config
from app.database import Database
from app.models import BlindTest, Device, Trial
from app.web.security import open_to_network
from tests.migrations.rows import read_rows
from tests.support import page
from tests.support.addresses import is_api, some_values
from tests.support.blind import next_trial, planned, trial
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.household import furnish
from tests.support.phone import CODE, MACHINE, Phone, new_code

Freeze = Callable[[str], None]

HELPERS_PAGES = {
    "blind.pour_all", "blind.pour_state", "blind.claim_all", "blind.serve_all", "blind.served",
    "devices.pair", "devices.pair_now", "static",
}  # fmt: skip
NO_CODE = "There is no code"


@pytest.fixture
def owner(app: Flask) -> FlaskClient:
    open_to_network(app, [MACHINE])
    return app.test_client()


@pytest.fixture
def test_id(owner: FlaskClient) -> int:
    return planned(owner)


@pytest.fixture
def trial_id(owner: FlaskClient, test_id: int) -> int:
    """A trial that waits to be poured."""
    return next_trial(owner, test_id)


@pytest.fixture
def helper(app: Flask, owner: FlaskClient, trial_id: int) -> Phone:
    phone = Phone(app)
    assert phone.pair(_code(owner, trial_id), "Briar's phone").status_code == 303
    return phone


def _page(owner: FlaskClient, trial_id: int) -> str:
    return owner.get(f"/blind/trials/{trial_id}").text


def _code(owner: FlaskClient, trial_id: int) -> str:
    found = CODE.search(page.text(_page(owner, trial_id)))
    assert found
    return found.group()


def _cards(phone: Phone, test_id: int) -> str:
    return page.text(phone.ask(f"/blind/{test_id}/pour").text)


def _addresses(app: Flask, method: str) -> Iterator[tuple[str, str]]:
    with app.test_request_context():
        for rule in app.url_map.iter_rules():
            if method in (rule.methods or ()) and not is_api(rule):
                filled = some_values(rule)
                if "filename" in filled:
                    filled["filename"] = "js/chart.js"
                yield rule.endpoint, app.url_for(rule.endpoint, **filled)


def test_the_code_of_a_waiting_trial_opens_the_serving_card(
    app: Flask, owner: FlaskClient, test_id: int, trial_id: int, journal: Database
) -> None:
    phone = Phone(app)
    paired = phone.pair(_code(owner, trial_id))
    assert (paired.status_code, paired.location) == (303, f"/blind/{test_id}/pour")
    codes_of_cups = trial(journal, trial_id).codes.split()
    assert not any(code in _cards(phone, test_id) for code in codes_of_cups)
    assert phone.ask(f"/blind/{test_id}/claim", "POST").status_code == 303
    card = _cards(phone, test_id)
    assert all(code in card for code in codes_of_cups)
    covered = phone.ask(f"/blind/{test_id}/served", "POST")
    assert covered.location == f"/blind/{test_id}/pour"
    assert not any(code in _cards(phone, test_id) for code in codes_of_cups)
    assert trial(journal, trial_id).served_at


def test_the_helpers_phone_serves_further_trials_until_the_test_ends(
    owner: FlaskClient, helper: Phone, test_id: int, trial_id: int, journal: Database
) -> None:
    for _ in range(3):
        helper.ask(f"/blind/{test_id}/claim", "POST")
        assert "Served: cover the key" in _cards(helper, test_id)
        helper.ask(f"/blind/trials/{trial_id}/served", "POST")
        assert "Nothing to pour now" in _cards(helper, test_id)
        owner.post(f"/blind/trials/{trial_id}/answer", data={"place": 1, "sure": "yes"})
        trial_id = next_trial(owner, test_id)
    owner.post(f"/blind/trials/{trial_id}/void", data={"reason": "spilled"})
    owner.post(f"/blind/{test_id}/stop", data={"reason": "enough"})
    for path in (f"/blind/{test_id}/pour", f"/blind/{test_id}/pour/state"):
        over = helper.ask(path)
        assert over.status_code == 403
        assert "has ended" in page.text(over.text)
        assert "To the cards" not in over.text


def test_a_test_in_the_bin_has_no_helper_until_it_is_back(
    owner: FlaskClient, helper: Phone, test_id: int
) -> None:
    for press, status in (("bin", 403), ("restore", 200)):
        owner.post(f"/blind/{test_id}/{press}")
        assert helper.ask(f"/blind/{test_id}/pour").status_code == status


@pytest.mark.parametrize("method", ["GET", "HEAD", "POST", "OPTIONS"])
def test_a_helper_is_refused_everywhere_but_at_the_cards(
    app: Flask, owner: FlaskClient, make: Make, config: Config, method: str
) -> None:
    """Every route there is, in a journal that is full; the helper's test and trial are number 1,
    so nothing is refused for being another's."""
    make_test = planned(owner)
    own = next_trial(owner, make_test)
    assert (make_test, own) == (1, 1)
    furnish(make)
    phone = Phone(app)
    phone.pair(_code(owner, own))
    before = read_rows(config.url)
    tried = 0
    for endpoint, path in [*_addresses(app, method), ("", "/no-such-page"), ("", "//x")]:
        tried += 1
        answer = phone.ask(path, method)
        allowed = endpoint in HELPERS_PAGES
        assert (answer.status_code != 403) == allowed, path
        assert allowed or method == "HEAD" or "helps in one blind test" in answer.text, path
        answer.close()
    assert tried > (60 if method == "POST" else 80)
    changed = {"trial"} if method == "POST" else set()
    after = read_rows(config.url)
    assert {table for table in before if before[table] != after[table]} <= changed


def test_a_helper_of_one_test_gets_nothing_of_another(
    owner: FlaskClient, helper: Phone, config: Config
) -> None:
    other = planned(owner, new_taster="Hazel")
    others_trial = next_trial(owner, other)
    before = read_rows(config.url)
    for method, path in (
        ("GET", f"/blind/{other}/pour"), ("GET", f"/blind/{other}/pour/state"),
        ("POST", f"/blind/{other}/claim"), ("POST", f"/blind/{other}/served"),
        ("POST", f"/blind/trials/{others_trial}/served"), ("GET", "/blind/999/pour"),
        ("POST", "/blind/trials/999/served"),
    ):  # fmt: skip
        assert helper.ask(path, method).status_code == 403, path
    assert read_rows(config.url) == before


def test_a_helper_cannot_serve_what_another_device_pours(
    owner: FlaskClient, helper: Phone, test_id: int, trial_id: int, journal: Database
) -> None:
    owner.post(f"/blind/trials/{trial_id}/claim")
    codes_of_cups = trial(journal, trial_id).codes.split()
    helper.ask(f"/blind/{test_id}/claim", "POST")
    assert "Somebody else has said that they pour" in _cards(helper, test_id)
    assert not any(code in _cards(helper, test_id) for code in codes_of_cups)
    helper.ask(f"/blind/trials/{trial_id}/served", "POST")
    helper.ask(f"/blind/{test_id}/served", "POST")
    assert trial(journal, trial_id).served_at is None


def test_the_page_shows_one_code_until_it_is_used(
    app: Flask, owner: FlaskClient, test_id: int, trial_id: int
) -> None:
    code = _code(owner, trial_id)
    assert _code(owner, trial_id) == code
    assert Phone(app, "192.168.1.61").pair(code, "First").status_code == 303
    second = Phone(app, "192.168.1.62")
    assert second.pair(code).status_code == 422
    shown = page.text(_page(owner, trial_id))
    assert "First. The card of each trial" in shown
    assert not CODE.search(shown)
    owner.post(f"/blind/trials/{trial_id}/helper")
    assert second.pair(_code(owner, trial_id), "Second").status_code == 303
    assert "First, Second" in page.text(_page(owner, trial_id))


@pytest.mark.parametrize(("minute", "status"), [("12:09", 303), ("12:10", 422)])
def test_it_runs_out_after_ten_minutes_and_another_takes_its_place(
    app: Flask, owner: FlaskClient, trial_id: int, freeze: Freeze, minute: str, status: int
) -> None:
    code = _code(owner, trial_id)
    freeze(f"2026-09-15T{minute}")
    phone = Phone(app)
    assert phone.pair(code).status_code == status
    if status == 422:
        assert _code(owner, trial_id) != code
        freeze("2026-09-15T12:05")  # a clock that is set back brings nothing back
        assert phone.pair(code).status_code == 422


def test_it_is_kept_in_memory_only(
    owner: FlaskClient, trial_id: int, config: Config, journal: Database
) -> None:
    code = _code(owner, trial_id)
    restarted = create_app(config)
    restarted.config.update(CLOCK=lambda: NOON, WTF_CSRF_ENABLED=False)
    open_to_network(restarted, [MACHINE])
    assert Phone(restarted).pair(code).status_code == 422
    restarted.extensions["oddcup_database"].dispose()
    kept = repr(read_rows(config.url))
    assert code not in kept
    assert code.replace("-", "") not in kept


def test_ten_wrong_codes_cancel_it_and_none_is_drawn_unasked(
    app: Flask, owner: FlaskClient, trial_id: int
) -> None:
    code = _code(owner, trial_id)
    for number in range(10):
        assert Phone(app, f"192.168.1.{100 + number}").pair("222-222").status_code == 422
    phone = Phone(app)
    assert phone.pair(code).status_code == 422
    assert NO_CODE in page.text(_page(owner, trial_id))
    other = next_trial(owner, planned(owner, new_taster="Hazel"))
    assert NO_CODE in page.text(_page(owner, other))
    assert "Ten wrong codes were typed" in page.text(owner.get("/devices/").text)
    owner.post(f"/blind/trials/{trial_id}/helper")
    assert phone.pair(_code(owner, trial_id)).status_code == 303


def test_nine_wrong_ones_leave_it_open(app: Flask, owner: FlaskClient, trial_id: int) -> None:
    code = _code(owner, trial_id)
    for number in range(9):
        Phone(app, f"192.168.1.{100 + number}").pair("222-222")
    assert Phone(app).pair(code).status_code == 303


def test_the_code_can_be_withdrawn(app: Flask, owner: FlaskClient, trial_id: int) -> None:
    code = _code(owner, trial_id)
    owner.post(f"/blind/trials/{trial_id}/helper/out")
    assert NO_CODE in page.text(_page(owner, trial_id))
    assert Phone(app).pair(code).status_code == 422


def test_the_devices_page_counts_it_and_cancels_it(
    app: Flask, owner: FlaskClient, trial_id: int
) -> None:
    code = _code(owner, trial_id)
    assert "1 code is open until 12:10." in page.text(owner.get("/devices/").text)
    owner.post("/devices/codes/void")
    assert Phone(app).pair(code).status_code == 422
    assert "open until" not in page.text(owner.get("/devices/").text)


def test_a_helper_is_put_out_at_once(
    owner: FlaskClient, helper: Phone, test_id: int, trial_id: int
) -> None:
    shown = page.text(owner.get("/devices/").text)
    assert "helper in “fresh paper or paper on its third use”" in shown
    owner.post(f"/blind/trials/{trial_id}/helper/out")
    assert helper.ask(f"/blind/{test_id}/pour").status_code == 403
    assert "No device is paired." in page.text(owner.get("/devices/").text)


def test_a_household_phone_that_scans_it_keeps_the_journal(
    app: Flask, owner: FlaskClient, test_id: int, trial_id: int, journal: Database
) -> None:
    phone = Phone(app)
    phone.pair(new_code(owner))
    code = _code(owner, trial_id)
    scanned = phone.pair(code)
    assert scanned.location == f"/blind/{test_id}/pour"
    assert phone.ask("/brews/").status_code == 200
    with Session(journal.reader) as session:
        assert len(session.scalars(select(Device)).all()) == 1
    assert Phone(app, "192.168.1.62").pair(code).status_code == 303


def test_a_guest_who_tastes_in_the_test_cannot_become_its_helper(
    app: Flask, owner: FlaskClient, test_id: int, trial_id: int
) -> None:
    taster = Phone(app)
    taster.pair(new_code(owner, seat_id=1))
    refused = taster.pair(_code(owner, trial_id))
    assert refused.status_code == 422
    assert "This device tastes in that test" in page.text(refused.text)
    assert taster.ask(f"/blind/{test_id}/pour").status_code == 403
    assert taster.ask(f"/blind/trials/{trial_id}").status_code == 200


def test_a_guest_sees_no_code_and_a_household_phone_does(
    app: Flask, owner: FlaskClient, trial_id: int
) -> None:
    household, taster = Phone(app, "192.168.1.61"), Phone(app, "192.168.1.62")
    household.pair(new_code(owner))
    taster.pair(new_code(owner, seat_id=1))
    code = _code(owner, trial_id)
    assert code in page.text(household.ask(f"/blind/trials/{trial_id}").text)
    shown = taster.ask(f"/blind/trials/{trial_id}")
    assert not CODE.search(page.text(shown.text))
    assert "<svg" not in shown.text
    for path in ("helper", "helper/out"):
        assert taster.ask(f"/blind/trials/{trial_id}/{path}", "POST").status_code == 403


def test_the_qr_code_is_of_the_address_beside_it(owner: FlaskClient, trial_id: int) -> None:
    shown = _page(owner, trial_id)
    assert f"http://{MACHINE}:8473/pair" in page.text(shown)
    assert len(re.findall(r'role="img" aria-label="QR code', shown)) == 1


def test_a_trial_poured_alone_or_answered_shows_none(owner: FlaskClient, trial_id: int) -> None:
    solo = next_trial(owner, planned(owner, pouring="solo", new_taster="Hazel"))
    assert not CODE.search(page.text(_page(owner, solo)))
    owner.post(f"/blind/trials/{trial_id}/claim")
    owner.post(f"/blind/trials/{trial_id}/served")
    assert not CODE.search(page.text(_page(owner, trial_id)))


def test_without_the_network_there_is_none(client: FlaskClient) -> None:
    waiting = next_trial(client, planned(client))
    shown = page.text(_page(client, waiting))
    assert not CODE.search(shown)
    assert "I pour this trial" in shown


def test_what_the_taster_watches_says_how_far_it_is_and_nothing_else(
    app: Flask, owner: FlaskClient, test_id: int, trial_id: int
) -> None:
    def state() -> str:
        return owner.get(f"/blind/trials/{trial_id}/state").text

    assert state() == "drawn 0"
    phone = Phone(app)
    phone.pair(_code(owner, trial_id))
    assert state() == "drawn 1"
    phone.ask(f"/blind/{test_id}/claim", "POST")
    assert state() == "poured 1"
    phone.ask(f"/blind/{test_id}/served", "POST")
    assert state() == "served 1"
    owner.post(f"/blind/trials/{trial_id}/answer", data={"place": 1, "sure": "yes"})
    assert state() == "answered 1"
    assert owner.get("/blind/trials/999/state").status_code == 404


def test_what_a_guest_and_a_helper_watch(
    app: Flask, owner: FlaskClient, helper: Phone, test_id: int, trial_id: int
) -> None:
    taster = Phone(app, "192.168.1.62")
    taster.pair(new_code(owner, seat_id=1))

    def watched() -> tuple[str, str, str]:
        own = (taster.ask("/guest/state"), taster.ask(f"/blind/trials/{trial_id}/state"))
        return own[0].text, own[1].text, helper.ask(f"/blind/{test_id}/pour/state").text

    assert watched() == ("trials 1", "drawn", "trials 1")
    helper.ask(f"/blind/{test_id}/claim", "POST")
    assert watched() == ("trials 1", "poured", "trials 1p")
    helper.ask(f"/blind/{test_id}/served", "POST")
    assert watched() == ("trials 1s", "served", "trials ")


def test_several_tasters_are_served_one_by_one(
    app: Flask, owner: FlaskClient, journal: Database
) -> None:
    test_id = planned(owner, tasting="several", more_names="Hazel")
    owner.post(f"/blind/{test_id}/deal")
    first, second = 1, 2
    phone = Phone(app)
    phone.pair(_code(owner, first))
    phone.ask(f"/blind/{test_id}/claim", "POST")
    cards = _cards(phone, test_id)
    assert "Juniper’s are served" in cards
    assert "Hazel’s are served" in cards
    phone.ask(f"/blind/trials/{second}/served", "POST")
    with Session(journal.reader) as session:
        served = [row.served_at is not None for row in session.scalars(select(Trial))]
    assert served == [False, True]


def test_the_pouring_of_a_test_that_turns_solo_lets_the_helper_go(
    helper: Phone, test_id: int, journal: Database
) -> None:
    with Session(journal.writer) as session, session.begin():
        session.get_one(BlindTest, test_id).pouring = "solo"
    assert helper.ask(f"/blind/{test_id}/pour").status_code == 403


def test_the_name_of_a_helpers_phone_stays_text(
    app: Flask, owner: FlaskClient, trial_id: int
) -> None:
    name = "<script>a=1</script>"
    Phone(app).pair(_code(owner, trial_id), name)
    shown = _page(owner, trial_id)
    assert name not in shown
    assert name in page.text(shown)
