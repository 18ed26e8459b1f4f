"""A blind test at the table: two devices and a sealed key, or alone with a turned tray."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from app.database import Database
from tests.support.blind import all_trials, rows
from tests.support.browser import DESKTOP, PHONE, Ear, window
from tests.support.factories import Make
from tests.support.heard import Heard, key_in

pytestmark = pytest.mark.browser


@pytest.fixture
def helper(browser: Browser, address: str, ears: list[Ear]) -> Iterator[Page]:
    """The phone of the person who pours, with nothing in common with the taster's."""
    with window(browser, address, PHONE) as (context, ear):
        ears.append(ear)
        yield context.new_page()
        assert not ear.troubles(), "\n".join(ear.troubles())


def _back(page: Page) -> None:
    """The browser's Back, until the page there has loaded."""
    with page.expect_event("load"):
        page.evaluate("setTimeout(() => history.back())")


def test_a_full_triangle_on_two_devices(desktop: Page, helper: Page, journal: Database) -> None:
    taster, heard = desktop, Heard(desktop)
    taster.goto("/blind/")
    taster.get_by_role("link", name="Plan the first").click()
    taster.get_by_label("Cup A", exact=True).fill("fresh paper")
    taster.get_by_label("Cup B", exact=True).fill("paper on its third use")
    taster.get_by_text("Choose otherwise").click()
    taster.get_by_text("Somebody else pours", exact=False).click()
    taster.get_by_label("Name of a new taster").fill("Juniper")
    taster.get_by_text("Only a large one").click()
    taster.get_by_role("button", name="Start this test").click()
    expect(taster.get_by_role("heading", name="Have it poured")).to_be_visible()

    helper.goto(taster.url)
    helper.get_by_role("link", name="I pour this trial").click()
    helper.get_by_role("button", name="I pour, and do not taste").click()
    expect(helper.get_by_role("heading", name="Serving card")).to_be_visible()
    (row,) = all_trials(journal)
    codes = row.codes.split()
    assert key_in(helper.content(), row.cups, codes)
    expect(helper.get_by_text("scalds within seconds")).to_be_visible()

    for path in ("/", "/blind/", "/blind/1", "/blind/trials/1", "/more", "/bin", "/brews/"):
        taster.goto(path)
    taster.goto("/blind/trials/1")
    expect(taster.get_by_text("On another device.")).to_be_visible()

    helper.get_by_role("button", name="Poured: cover the key").click()
    expect(helper.get_by_role("heading", name="Covered")).to_be_visible()
    _back(helper)
    expect(helper.get_by_role("heading", name="Covered")).to_be_visible()
    assert not key_in(helper.content(), row.cups, codes)

    taster.get_by_text(codes[1]).click()  # the page has noticed by itself that it is served
    taster.reload()
    taster.get_by_text(codes[1]).click()
    told = [url for url, reply in heard.replies if key_in(reply, row.cups, codes, url)]
    assert told == []
    assert len(heard.replies) > 20

    taster.get_by_role("button", name="I am sure").click()
    right = row.cups.index("A" if row.cups.count("A") == 1 else "B") == 1
    verdict = f"Right answer: {codes[1]}" if right else f"Not this time: {codes[1]}"
    expect(taster.get_by_role("heading", name=verdict)).to_be_visible()
    assert key_in(taster.content(), row.cups, codes)
    taster.reload()
    expect(taster.get_by_role("heading", name=verdict)).to_be_visible()
    assert f"{int(right)} of 1 right" in taster.content()


def test_one_device_is_covered_before_it_changes_hands(phone: Page, make: Make) -> None:
    test, _ = rows(make, [])
    phone.goto(f"/blind/{test.id}")
    phone.get_by_role("button", name="Next trial").tap()
    phone.get_by_role("link", name="I pour this trial").tap()
    phone.get_by_role("button", name="I pour, and do not taste").tap()
    expect(phone.get_by_role("heading", name="Serving card")).to_be_visible()
    phone.get_by_role("button", name="Poured: cover the key").tap()
    phone.get_by_role("link", name="For the taster: go on").tap()
    expect(phone.get_by_text("Which is the odd one?").first).to_be_visible()
    for _ in range(3):
        _back(phone)
        expect(phone.get_by_role("heading", name="Serving card")).to_have_count(0)


def test_a_morning_trial_alone_takes_few_taps(phone: Page, make: Make, journal: Database) -> None:
    rows(make, [], pouring="solo")
    taps = 0

    def tap(role: str, name: str | re.Pattern[str]) -> None:
        nonlocal taps
        phone.get_by_role(role, name=name, exact=isinstance(name, str)).first.tap()  # type: ignore[arg-type]
        taps += 1

    phone.goto("/")
    tap("link", "More")
    tap("link", re.compile("^Blind tests"))
    tap("button", "Next trial")
    expect(phone.locator("dl.cups")).to_contain_text("fresh paper")
    expect(
        phone.get_by_text("not read within 24 hours, the answer counts as wrong")
    ).to_be_visible()
    tap("button", "Poured and turned: taste")
    tap("radio", "Nearest")
    tap("button", "I am not sure")
    expect(phone.get_by_text("Until it is read, later answers wait too.")).to_be_visible()
    tap("button", "2")
    expect(
        phone.get_by_role("heading", name=re.compile("Right answer|Not this time"))
    ).to_be_visible()
    assert taps < 10
    assert all_trials(journal)[0].lifted == "2"


def test_the_pause_between_cups_counts_and_says_when(phone: Page, make: Make) -> None:
    test, _ = rows(make, [], pouring="solo")
    phone.clock.install()
    phone.goto(f"/blind/{test.id}")
    phone.get_by_role("button", name="Next trial").tap()
    phone.get_by_role("button", name="Poured and turned: taste").tap()
    phone.get_by_role("button", name="Start the pause").tap()
    expect(phone.get_by_text("Rinse and wait.")).to_be_visible()
    phone.clock.run_for(31_000)
    expect(phone.get_by_text("The next cup, now.")).to_be_visible()
    phone.clock.run_for(30_000)
    expect(phone.get_by_text("a minute has passed")).to_be_visible()


def test_the_serving_card_prints_with_its_key_and_without_buttons(helper: Page, make: Make) -> None:
    test, _ = rows(make, [])
    helper.goto(f"/blind/{test.id}")
    helper.get_by_role("button", name="Next trial").tap()
    helper.get_by_role("link", name="I pour this trial").tap()
    helper.get_by_role("button", name="I pour, and do not taste").tap()
    helper.emulate_media(media="print")
    expect(helper.get_by_role("heading", name="Serving card")).to_be_visible()
    expect(helper.get_by_role("button", name="Poured: cover the key")).to_be_hidden()


def test_the_plan_draws_what_it_would_find(browser: Browser, address: str) -> None:
    with window(browser, address, DESKTOP) as (context, ear):
        page = context.new_page()
        page.goto("/blind/new")
        expect(page.locator("#power")).to_have_count(0)  # nobody has said which size matters
        page.get_by_label("Cup A", exact=True).fill("hot rinse")
        page.get_by_label("Cup B", exact=True).fill("cold rinse")
        page.get_by_label("Name of a new taster").fill("Fern")
        page.get_by_text("Choose otherwise").click()
        page.get_by_text("A fixed number", exact=False).first.click()
        page.get_by_text("Only a large one").click()
        page.get_by_role("button", name="Look at what it would find").click()
        expect(page.get_by_text("within 18 trials")).to_be_visible()
        expect(page.locator("#power .still")).to_be_visible()
        assert page.get_by_label("Cup A", exact=True).input_value() == "hot rinse"
        assert not ear.troubles(), "\n".join(ear.troubles())
