"""Two cups from Today to side by side on a phone: logged as a pair, brewed along by the clock."""

from __future__ import annotations

import re
from time import sleep

import pytest
from playwright.sync_api import Browser, Page, expect
from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from app.database import Database
from app.models import Brew
from tests.support.accessible import grave
from tests.support.factories import Make

pytestmark = pytest.mark.browser
A_PAIR_IN_TAPS = 8


def two_papers(make: Make) -> None:
    pack = make.pack(name="White round")
    first, _second = make.filter(pack), make.filter(pack)
    make.brew(filters=[first], dose_g=12.5, water_g=190, steep_s=90, press_s=20)


def last_two(journal: Database) -> list[Brew]:
    with Session(journal.reader) as session:
        query = select(Brew).options(selectinload(Brew.stack)).order_by(Brew.id.desc()).limit(2)
        return list(session.scalars(query))[::-1]


def test_a_pair_with_one_thing_changed_is_logged_in_few_taps(
    phone: Page, address: str, make: Make, journal: Database
) -> None:
    two_papers(make)
    phone.goto(address)
    phone.get_by_role("link", name="Two of it").tap()
    phone.locator("summary", has_text="Steep and press").tap()
    phone.get_by_label("B: Steep").tap()
    phone.get_by_label("B: Steep").fill("2:10")
    phone.get_by_role("button", name="Save both brews").tap()
    taps = 5
    expect(phone).to_have_url(re.compile(r"/side-by-side/\d+/\d+$"))
    a, b = last_two(journal)
    assert (a.steep_s, b.steep_s, a.dose_g, b.dose_g) == (90, 130, 12.5, 12.5)
    assert {use.filter_id for use in a.stack}.isdisjoint(use.filter_id for use in b.stack)
    assert taps <= A_PAIR_IN_TAPS


def test_what_changes_for_a_goes_for_b_until_b_is_changed(
    phone: Page, address: str, make: Make
) -> None:
    two_papers(make)
    phone.goto(f"{address}/brews/two/new")
    phone.locator("summary", has_text="Dose and water").tap()
    phone.get_by_label("A: Dose").fill("13")
    expect(phone.get_by_label("B: Dose")).to_have_value("13")
    phone.get_by_label("B: Dose").fill("16")
    phone.get_by_label("A: Dose").fill("14")
    expect(phone.get_by_label("B: Dose")).to_have_value("16")


def test_the_clock_survives_a_reload_and_a_frozen_page_and_its_times_are_logged(
    phone: Page, address: str, make: Make, journal: Database
) -> None:
    two_papers(make)
    phone.clock.install()
    phone.goto(f"{address}/brews/two/new")
    phone.get_by_role("button", name="Brew along first").tap()
    phone.get_by_role("button", name="Start", exact=True).tap()
    a, b = (phone.locator(f"[data-cup={letter}]") for letter in "AB")
    phone.clock.fast_forward(10_000)
    expect(phone.locator("#clock")).to_have_text("0:10")
    expect(a.locator("[data-now]")).to_have_text("Pour 190 g")
    expect(b.locator("[data-now]")).to_have_text("Wait")
    phone.reload()
    expect(phone.locator("#clock")).to_have_text(re.compile("0:1[01]"))
    phone.clock.fast_forward(85_000)  # a locked phone runs no script meanwhile
    expect(a.locator("[data-now]")).to_have_text("Press")
    a.get_by_role("button", name="Done").tap()  # pressed much sooner than planned
    phone.clock.fast_forward(200_000)
    expect(phone.locator("#ready")).to_contain_text("Cup A was ready")
    phone.get_by_role("button", name="Log both").tap()
    phone.get_by_role("button", name="Save both brews").tap()
    expect(phone).to_have_url(re.compile(r"/side-by-side/"))
    first, second = last_two(journal)
    assert first.steep_s is not None
    assert first.press_s is not None
    assert abs(first.steep_s - 90) <= 1
    assert first.press_s <= 7
    assert second.press_s == 20


def test_a_page_that_stood_still_shows_the_right_time_when_it_goes_on(
    phone: Page, address: str, make: Make
) -> None:
    """The debugger stops its script for four seconds, as a phone does whose screen is dark."""
    two_papers(make)
    phone.goto(f"{address}/along/like/1")
    phone.evaluate("window.ticks = 0; setInterval(() => { ticks += 1; }, 50)")
    phone.get_by_role("button", name="Start", exact=True).tap()
    before, began = phone.evaluate("[ticks, Date.now()]")
    debugger = phone.context.new_cdp_session(phone)
    debugger.send("Debugger.enable")
    debugger.send("Debugger.pause")
    sleep(4)
    debugger.send("Debugger.resume")
    debugger.send("Debugger.disable")
    phone.wait_for_function("seen => ticks > seen + 10", arg=before)
    shown, ticks, since_s = phone.evaluate(
        "[document.getElementById('clock').textContent, ticks, Date.now()]"
    )
    since_s = (since_s - began) / 1000
    assert ticks - before < (since_s - 3) * 20  # most of the time no timer ran
    assert abs(int(shown.removeprefix("0:")) - since_s) <= 1.1


def test_a_pause_stops_the_clock(phone: Page, address: str, make: Make) -> None:
    two_papers(make)
    phone.clock.install()
    phone.goto(f"{address}/along/like/1")
    phone.get_by_role("button", name="Start", exact=True).tap()
    phone.clock.fast_forward(5_000)
    phone.get_by_role("button", name="Pause").tap()
    phone.clock.fast_forward(60_000)
    phone.get_by_role("button", name="Go on").tap()
    phone.clock.fast_forward(5_000)
    expect(phone.locator("#clock")).to_have_text(re.compile("0:1[01]"))


def test_what_steeps_through_a_pause_is_logged_so(
    phone: Page, address: str, make: Make, journal: Database
) -> None:
    two_papers(make)
    phone.clock.install()
    phone.goto(f"{address}/along/like/1")
    phone.get_by_role("button", name="Start", exact=True).tap()
    phone.clock.fast_forward(40_000)
    phone.get_by_role("button", name="Pause").tap()
    phone.clock.fast_forward(30_000)
    phone.get_by_role("button", name="Go on").tap()
    phone.clock.fast_forward(80_000)
    expect(phone.locator("#ready")).to_contain_text("The cup is ready.")
    phone.get_by_role("button", name="Log it").tap()
    phone.get_by_role("button", name="Save this brew").tap()
    expect(phone.get_by_text("Brew saved.")).to_be_visible()
    _, brew = last_two(journal)
    assert brew.steep_s is not None
    assert abs(brew.steep_s - 120) <= 1  # 90 s by the clock, and 30 s of pause
    assert brew.press_s == 20


def test_a_late_press_and_a_skipped_one_are_logged_as_they_were(
    phone: Page, address: str, make: Make, journal: Database
) -> None:
    two_papers(make)
    phone.clock.install()
    phone.goto(f"{address}/brews/two/new")
    phone.get_by_role("button", name="Brew along first").tap()
    phone.get_by_role("button", name="Start", exact=True).tap()
    a, b = (phone.locator(f"[data-cup={letter}]") for letter in "AB")
    phone.clock.fast_forward(92_000)
    expect(a.locator("[data-now]")).to_have_text("Press")
    a.get_by_role("button", name="Not yet").tap()
    expect(a.locator("[data-now]")).to_have_text("Steep")
    phone.clock.fast_forward(8_000)
    a.get_by_role("button", name="Press now").tap()
    phone.clock.fast_forward(27_000)
    expect(b.locator("[data-now]")).to_have_text("Press")  # it waited for hands
    b.get_by_role("button", name="Skip").tap()
    expect(phone.locator("#ready")).to_be_visible()
    phone.get_by_role("button", name="Log both").tap()
    phone.get_by_role("button", name="Save both brews").tap()
    expect(phone).to_have_url(re.compile(r"/side-by-side/"))
    first, second = last_two(journal)
    assert first.steep_s is not None
    assert abs(first.steep_s - 100) <= 1
    assert first.press_s == 20
    assert second.press_s is None
    assert second.steep_s is not None
    assert second.steep_s > 90


def test_what_has_not_happened_yet_is_not_logged_as_if_it_had(
    phone: Page, address: str, make: Make
) -> None:
    two_papers(make)
    phone.clock.install()
    phone.goto(f"{address}/along/like/1")
    phone.get_by_role("button", name="Start", exact=True).tap()
    phone.clock.fast_forward(93_000)
    phone.get_by_role("button", name="Not yet").tap()  # still steeping
    phone.get_by_role("button", name="Log it").tap()
    expect(phone.locator("#steep_s")).to_have_value("1:30")  # as it was set
    expect(phone.locator("#press_s")).to_have_value("20")


def test_a_flipped_brewer_steeps_until_it_has_been_turned_over(
    phone: Page, address: str, make: Make
) -> None:
    make.brew(brewer=make.brewer(kind="immersion"), water_g=190, steep_s=90, flipped=True)
    phone.clock.install()
    phone.goto(f"{address}/along/like/1")
    phone.get_by_role("button", name="Start", exact=True).tap()
    phone.clock.fast_forward(80_000)
    expect(phone.locator("[data-now]")).to_have_text("Turn over")
    phone.get_by_role("button", name="Done").tap()  # some seconds early
    expect(phone.locator("[data-now]")).to_have_text("Ready")
    phone.get_by_role("button", name="Log it").tap()
    expect(phone.locator("#steep_s")).to_have_value(re.compile("1:2[0-9]"))


def test_both_may_cool_for_as_long_before_they_are_tasted(
    phone: Page, address: str, make: Make
) -> None:
    two_papers(make)
    phone.clock.install()
    phone.goto(f"{address}/brews/two/new")
    phone.get_by_role("button", name="Brew along first").tap()
    expect(phone.locator("#plan-says")).to_contain_text(
        "B begins 0:25 after A; they are ready 0:25 apart, as close as two hands allow."
    )
    phone.get_by_label("Let both cool for as long").check()
    phone.get_by_label("Minutes from ready").fill("2")
    told = phone.locator("[data-alike]")
    expect(told).to_have_text("Taste A at 3:50. Taste B at 4:15.")
    phone.get_by_role("button", name="Start", exact=True).tap()
    phone.clock.fast_forward(232_000)
    expect(told).to_have_text(re.compile(r"Taste A now. Taste B in 0:2[23]."))
    phone.reload()
    expect(told).to_have_text(re.compile(r"Taste A now. Taste B in 0:2[23]."))


def test_a_clock_that_was_logged_starts_anew_the_next_time(
    phone: Page, address: str, make: Make
) -> None:
    two_papers(make)
    phone.goto(f"{address}/along/like/1")
    phone.get_by_role("button", name="Start", exact=True).tap()
    phone.get_by_role("button", name="Log it").tap()
    expect(phone).to_have_url(re.compile("/brews/new"))
    phone.go_back()
    expect(phone.get_by_role("button", name="Pause")).to_be_visible()
    phone.goto(f"{address}/along/like/1")
    expect(phone.get_by_role("button", name="Start", exact=True)).to_be_visible()


def test_today_leads_back_to_a_clock_whose_page_was_closed(
    phone: Page, address: str, make: Make
) -> None:
    two_papers(make)
    phone.goto(f"{address}/along/like/1")
    phone.get_by_role("button", name="Start", exact=True).tap()
    phone.goto(address)
    assert grave(phone) == []
    phone.get_by_role("link", name="Back to the clock").tap()
    expect(phone.get_by_role("button", name="Pause")).to_be_visible()
    phone.get_by_role("button", name="Log it").tap()
    expect(phone).to_have_url(re.compile("/brews/new"))
    phone.goto(address)
    expect(phone.get_by_text("On the clock since")).to_be_hidden()


CALLS = """
    window.calls = [];
    navigator.vibrate = () => calls.push("vibrate");
    navigator.wakeLock.request = async () => {
        calls.push("awake");
        return { release: () => calls.push("may sleep") };
    };
"""


def test_the_screen_stays_on_and_the_phone_shakes_until_told_not_to(
    phone: Page, address: str, make: Make
) -> None:
    two_papers(make)
    phone.clock.install()
    phone.add_init_script(CALLS)
    phone.goto(f"{address}/along/like/1")
    phone.get_by_role("button", name="Start", exact=True).tap()
    phone.clock.fast_forward(30_000)
    assert set(phone.evaluate("calls")) == {"awake", "vibrate"}
    phone.get_by_label("Vibrate at each step").uncheck()
    phone.get_by_label("Sound at each step").check()
    phone.reload()
    expect(phone.get_by_label("Vibrate at each step")).not_to_be_checked()
    expect(phone.get_by_label("Sound at each step")).to_be_checked()
    phone.clock.fast_forward(90_000)
    expect(phone.locator("#ready")).to_be_visible()
    assert phone.evaluate("calls") == ["awake", "may sleep"]


def test_a_browser_that_lets_the_screen_go_dark_is_told_of(
    phone: Page, address: str, make: Make
) -> None:
    two_papers(make)
    phone.add_init_script("Object.defineProperty(navigator, 'wakeLock', { value: undefined })")
    phone.goto(f"{address}/along/like/1")
    phone.get_by_role("button", name="Start", exact=True).tap()
    expect(phone.get_by_text("does not let the page keep the screen on")).to_be_visible()


def test_each_cup_has_its_key(desktop: Page, address: str, make: Make) -> None:
    two_papers(make)
    desktop.goto(f"{address}/brews/two/new")
    desktop.get_by_role("button", name="Brew along first").click()
    desktop.wait_for_url("**/along/**")
    desktop.keyboard.press(" ")
    a, b = (desktop.locator(f"[data-cup={letter}] [data-now]") for letter in "AB")
    expect(a).to_have_text("Pour 190 g")
    desktop.keyboard.press("a")
    expect(a).to_have_text("Steep")
    desktop.keyboard.press("b")
    expect(b).to_have_text("Pour 190 g")
    desktop.keyboard.press(" ")
    expect(b).to_have_text("Steep")


def test_it_works_by_keyboard_and_for_who_cannot_see(
    desktop: Page, address: str, make: Make
) -> None:
    two_papers(make)
    desktop.goto(f"{address}/along/like/1")
    assert grave(desktop) == []
    desktop.keyboard.press(" ")
    now = desktop.locator("[data-now]")
    expect(now).to_have_text("Pour 190 g")
    desktop.keyboard.press(" ")
    expect(now).to_have_text("Steep")
    desktop.keyboard.press("p")
    expect(desktop.get_by_role("button", name="Go on")).to_be_visible()


def test_the_enter_key_saves(phone: Page, address: str, make: Make, journal: Database) -> None:
    two_papers(make)
    phone.goto(f"{address}/brews/two/new")
    phone.locator("summary", has_text="Dose and water").tap()
    phone.get_by_label("B: Dose").press("Enter")
    expect(phone).to_have_url(re.compile(r"/side-by-side/"))
    phone.goto(f"{address}/brews/new")
    phone.locator("summary", has_text="Dose and water").tap()
    phone.get_by_label("Dose").first.press("Enter")
    expect(phone.get_by_text("Brew saved.")).to_be_visible()


LONG = "Tastes of plum and of warm bread, with a dry end. " * 79 + "Very, very long" + "." * 35


def test_a_very_long_note_waits_in_the_browser_while_one_brews_along(
    phone: Page, address: str, make: Make, journal: Database
) -> None:
    two_papers(make)
    phone.goto(f"{address}/brews/two/new")
    phone.locator("summary", has_text="Note").tap()
    phone.get_by_label("A: Note").fill(LONG + "x" * 1000)
    phone.get_by_label("B: Note").fill("short")
    phone.get_by_role("button", name="Brew along first").tap()
    expect(phone).to_have_url(re.compile("/along/"))
    assert len(phone.url) < 1000
    phone.reload()
    phone.get_by_role("button", name="Log both").tap()
    expect(phone).to_have_url(re.compile("/brews/two/new"))
    assert len(phone.url) < 1000
    phone.get_by_role("button", name="Save both brews").tap()
    expect(phone.get_by_role("link", name="A: Note")).to_be_visible()  # 5,000 are too many
    expect(phone.get_by_label("A: Note")).to_have_value(LONG + "x" * 1000)
    phone.get_by_label("A: Note").fill(LONG)
    phone.get_by_role("button", name="Save both brews").tap()
    expect(phone).to_have_url(re.compile(r"/side-by-side/"))
    assert [brew.note for brew in last_two(journal)] == [LONG, "short"]
    assert phone.evaluate("Object.keys(localStorage).filter((k) => k.startsWith('draft:'))") == []


def test_the_note_of_one_brew_comes_back_from_the_clock(
    phone: Page, address: str, make: Make
) -> None:
    two_papers(make)
    phone.goto(f"{address}/brews/new")
    phone.locator("summary", has_text="Note").tap()
    phone.get_by_label("Note", exact=True).fill(LONG)
    phone.get_by_role("button", name="Brew along first").tap()
    assert len(phone.url) < 1000
    phone.get_by_role("link", name="Back to the form").tap()
    expect(phone.get_by_label("Note", exact=True)).to_have_value(LONG)


def test_without_script_the_steps_can_be_read_and_nothing_dead_is_offered(
    browser: Browser, address: str, make: Make
) -> None:
    two_papers(make)
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{address}/along/like/1")
    expect(page.locator("noscript p")).to_be_visible()
    expect(page.get_by_role("region", name="All steps")).to_contain_text("Pour 190 g")
    expect(page.locator("button:visible:enabled")).to_have_text(["Log it"])
    context.close()
