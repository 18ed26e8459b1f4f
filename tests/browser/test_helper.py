"""A taster's and a helper's phone, the second over the real server of the network."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from urllib.parse import urlsplit

import pytest
from flask import Flask
from playwright.sync_api import Browser, Page, expect

from app.database import Database
from app.devices import opening
from tests.support.accessible import grave
from tests.support.addresses import is_api, some_values
from tests.support.blind import all_trials, rows
from tests.support.browser import LAN, PHONE, Ear, window
from tests.support.factories import Make
from tests.support.heard import Heard, key_in

pytestmark = pytest.mark.browser

HELPERS = {
    "blind.pour_all", "blind.pour_state", "blind.claim_all", "blind.serve_all", "blind.served",
    "devices.pair", "devices.pair_now", "static",
}  # fmt: skip
NOTE_WHAT_IS_SAID = """addEventListener('DOMContentLoaded', () => {
    const line = document.querySelector('[data-watch]');
    const tell = () => console.info(`said: ${line.textContent}`);
    if (line) new MutationObserver(tell).observe(line, {childList: true, characterData: true});
})"""


@pytest.fixture
def at(app: Flask, address: str, monkeypatch: pytest.MonkeyPatch) -> str:
    """Where the network reaches the journal, once it is opened."""
    monkeypatch.setattr(opening, "lan_addresses", lambda: (LAN,))
    port = urlsplit(address).port
    app.config["JOURNAL"] = replace(app.config["JOURNAL"], port=port)
    return f"http://{LAN}:{port}"


@pytest.fixture
def taster(browser: Browser, address: str, at: str, ears: list[Ear]) -> Iterator[Page]:
    yield from _phone(browser, address, ears)


@pytest.fixture
def helper(browser: Browser, at: str, ears: list[Ear]) -> Iterator[Page]:
    yield from _phone(browser, at, ears)


def _phone(browser: Browser, address: str, ears: list[Ear]) -> Iterator[Page]:
    with window(browser, address, PHONE) as (context, ear):
        context.add_init_script(NOTE_WHAT_IS_SAID)
        ears.append(ear)
        yield context.new_page()
        troubles = ear.troubles()
    assert not troubles, "\n".join(troubles)


def _said(page: Page) -> list[str]:
    """What its line that is read out has said, from now on."""
    said: list[str] = []

    def note(text: str) -> None:
        if text.startswith("said: "):
            said.append(text.removeprefix("said: "))

    page.on("console", lambda message: note(message.text))
    return said


def _let_in(taster: Page, helper: Page) -> None:
    code = taster.locator(".big-num").inner_text()
    helper.goto(f"/pair?code={code}")
    helper.get_by_role("button", name="Pair this device").tap()
    expect(helper.get_by_role("heading", name="You pour")).to_be_visible()


def _routes(app: Flask) -> list[tuple[str, str, str]]:
    """Method, endpoint and address of every route that is no script's, ids being 1."""
    found = []
    with app.test_request_context():
        for rule in app.url_map.iter_rules():
            if is_api(rule):
                continue
            filled = some_values(rule)
            if "filename" in filled:
                filled["filename"] = "js/chart.js"
            path = app.url_for(rule.endpoint, **filled)
            found += [
                (m, rule.endpoint, path) for m in ("GET", "POST") if m in (rule.methods or ())
            ]
    return found


def test_the_helper_pours_on_their_phone_and_no_key_reaches_the_taster(
    app: Flask, taster: Page, helper: Page, ears: list[Ear], make: Make, journal: Database
) -> None:
    test, _ = rows(make, [])
    heard, said, taps = Heard(taster), _said(taster), 0
    taster.goto(f"/blind/{test.id}")
    taster.get_by_role("button", name="Next trial").tap()
    expect(taster.get_by_text("not for a public one")).to_be_visible()
    assert grave(taster) == []
    taster.get_by_role("button", name="Open to phones").tap()
    expect(taster.get_by_role("img", name="QR code with the address and the code")).to_be_visible()
    assert grave(taster) == []

    _let_in(taster, helper)
    taps += 1
    expect(taster.get_by_text("The card of each trial of this test shows there")).to_be_visible()
    assert grave(helper) == []
    helper.get_by_role("button", name="Show the card").tap()
    taps += 1
    (row,) = all_trials(journal)
    codes = row.codes.split()
    expect(helper.get_by_text(codes[0], exact=True)).to_be_visible()
    assert key_in(helper.content(), row.cups, codes)
    assert grave(helper) == []
    expect(taster.get_by_text("On another device.")).to_be_visible()
    _nothing_else_opens(app, helper)

    for path in ("/", "/blind/", f"/blind/{test.id}", f"/blind/{test.id}/pour", "/devices/",
                 f"/blind/trials/{row.id}/pour", "/bin"):  # fmt: skip
        ears[0].expect("status of 403")  # somebody else pours it
        taster.goto(path)
    taster.goto(f"/blind/trials/{row.id}")
    helper.get_by_role("button", name="Served: cover the key").tap()
    taps += 1
    expect(helper.get_by_role("heading", name="Nothing to pour now")).to_be_visible()
    assert not key_in(helper.content(), row.cups, codes)

    # Nothing is tapped: the taster's page notices, says so, and goes on.
    expect(taster.get_by_role("button", name="I am sure")).to_be_visible()
    assert said[-1] == "Your cups are served."
    assert taster.title().startswith("Trial 1, served")
    told = [url for url, reply in heard.replies if key_in(reply, row.cups, codes, url)]
    assert told == []
    states = [reply.split()[-2:] for url, reply in heard.replies if url.endswith("/state")]
    assert {state[0] for state in states} <= {"drawn", "poured", "served"}
    assert len(states) > 2
    assert taps == 3

    taster.get_by_text(codes[1], exact=True).tap()
    taster.get_by_role("button", name="I am sure").tap()
    expect(taster.get_by_role("button", name="Next trial")).to_be_visible()
    assert key_in(taster.content(), row.cups, codes)
    _further_trials_until_the_test_ends(taster, helper, ears)


def _nothing_else_opens(app: Flask, helper: Page) -> None:
    """Every route, asked with what the helper's phone is known by."""
    tried = 0
    for method, endpoint, path in _routes(app):
        if endpoint not in HELPERS:
            answer = helper.context.request.fetch(path, method=method, max_redirects=0)
            assert answer.status == 403, (method, path)
            assert "helps in one blind test" in answer.text(), (method, path)
            tried += 1
    assert tried > 150


def _further_trials_until_the_test_ends(taster: Page, helper: Page, ears: list[Ear]) -> None:
    taster.get_by_role("button", name="Next trial").tap()
    expect(helper.get_by_role("heading", name="1 trial waits")).to_be_visible()
    taster.get_by_text("This trial cannot be finished").tap()
    taster.get_by_label("Reason").fill("spilled")
    taster.get_by_role("button", name="Void this trial").tap()
    expect(helper.get_by_role("heading", name="Nothing to pour now")).to_be_visible()
    ears[1].expect("status of 403")
    taster.get_by_text("Stop the test").tap()
    taster.get_by_label("Reason").fill("enough")
    taster.get_by_role("button", name="Stop it").tap()
    expect(helper.get_by_text("has ended", exact=False)).to_be_visible()


def test_closing_to_phones_lets_the_helper_go(
    taster: Page, helper: Page, ears: list[Ear], make: Make
) -> None:
    test, _ = rows(make, [])
    taster.goto("/devices/")
    taster.get_by_role("button", name="Open to phones").tap()
    expect(taster.get_by_role("img", name="QR code with the address")).to_be_visible()
    assert grave(taster) == []
    taster.goto(f"/blind/{test.id}")
    taster.get_by_role("button", name="Next trial").tap()
    _let_in(taster, helper)
    taster.goto("/devices/")
    taster.get_by_role("button", name="Close to phones").tap()
    expect(taster.get_by_text("no phone reaches this journal any more")).to_be_visible()
    ears[1].expect("ERR_CONNECTION")
    ears[1].expect("Failed to load resource")
    expect(helper.get_by_text("The journal does not answer.", exact=False)).to_be_visible()
    taster.get_by_role("button", name="Open to phones").tap()
    expect(helper.get_by_text("The next trial shows here by itself.")).to_be_visible()


def test_a_page_that_nobody_sees_does_not_ask(taster: Page, make: Make) -> None:
    test, _ = rows(make, [{}])
    heard = Heard(taster)
    taster.clock.install()
    taster.goto("/blind/trials/1")

    def asked() -> int:
        return sum(url.endswith("/state") for url, _ in heard.replies)

    def see(seen: bool) -> None:
        taster.evaluate(
            """(hidden) => {
            Object.defineProperty(document, 'hidden', {value: hidden, configurable: true});
            document.dispatchEvent(new Event('visibilitychange'));
        }""",
            not seen,
        )

    expect(taster.get_by_text("This page goes on by itself")).to_be_visible()
    see(False)
    taster.wait_for_timeout(200)
    before = asked()
    taster.clock.run_for(60_000)
    taster.wait_for_timeout(200)
    assert asked() == before
    with taster.expect_response(lambda reply: reply.url.endswith("/state")):
        see(True)
    assert test.id == 1


def test_without_a_script_a_link_looks_again(
    browser: Browser, address: str, make: Make, journal: Database
) -> None:
    _, (trial,) = rows(make, [{}])
    context = browser.new_context(base_url=address, java_script_enabled=False)
    page = context.new_page()
    page.goto(f"/blind/trials/{trial.id}")
    page.get_by_role("link", name="Look again").click()
    page.get_by_role("link", name="I pour this trial").click()
    page.get_by_role("button", name="I pour, and do not taste").click()
    page.goto(f"/blind/trials/{trial.id}")
    page.get_by_role("link", name="back to the serving card").click()
    page.get_by_role("button", name="Poured: cover the key").click()
    page.goto(f"/blind/trials/{trial.id}")
    expect(page.get_by_role("button", name="I am sure")).to_be_visible()
    context.close()
