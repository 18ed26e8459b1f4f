"""A chart is a picture until somebody wants it live, and the chart script waits until then."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Locator, Page, Route, expect

from tests.support.accessible import grave
from tests.support.browser import PHONE, Ear, switch
from tests.support.factories import Make

pytestmark = pytest.mark.browser
PAGE = "/side-by-side/1/2"
HEIGHT = "document.documentElement.scrollHeight"


@pytest.fixture(autouse=True)
def pair(make: Make) -> None:
    bag = make.bag()
    for dose_g in (14.5, 16.5):
        brew = make.brew(bag=bag, dose_g=dose_g, water_g=243.0, steep_s=95, tds_pct=1.2)
        make.tasting(brew, liking=6)


@pytest.fixture
def asked(phone: Page) -> list[str]:
    """Every address the phone asked for."""
    addresses: list[str] = []
    phone.on("request", lambda request: addresses.append(request.url))
    return addresses


def chart(page: Page, name: str = "strength") -> Locator:
    return page.locator("figure.chart").filter(has=page.locator(f"#{name}"))


def button(page: Page, name: str = "strength") -> Locator:
    return chart(page, name).get_by_role("button", name="Live chart")


def expect_live(page: Page, name: str = "strength") -> None:
    expect(page.locator(f"#{name} .main-svg").first).to_be_visible()
    expect(page.locator(f"#{name} > .still")).to_be_hidden()
    expect(button(page, name)).to_have_attribute("aria-pressed", "true")


def expect_still(page: Page, name: str = "strength") -> None:
    expect(page.locator(f"#{name} > .still")).to_be_visible()
    expect(page.locator(f"#{name} .main-svg").first).to_be_hidden()
    expect(button(page, name)).to_have_attribute("aria-pressed", "false")


def scripts(asked: list[str]) -> int:
    return sum("/vendor/" in address for address in asked)


def test_the_script_is_asked_for_by_a_tap_and_nothing_jumps(phone: Page, asked: list[str]) -> None:
    phone.goto(PAGE, wait_until="networkidle")
    expect_still(phone)
    assert scripts(asked) == 0
    before = phone.evaluate(HEIGHT)
    phone.locator("#strength").scroll_into_view_if_needed()
    box = phone.locator("#strength").bounding_box()
    phone.locator("#strength").tap()
    expect_live(phone)
    assert scripts(asked) == 1
    assert phone.evaluate(HEIGHT) == before
    assert phone.locator("#strength").bounding_box() == box
    assert phone.locator("#strength .main-svg").first.bounding_box() == box

    expect_still(phone, "over-time")
    button(phone, "over-time").tap()
    expect_live(phone, "over-time")
    assert scripts(asked) == 1
    button(phone).tap()
    expect_still(phone)
    button(phone).tap()
    expect_live(phone)
    assert grave(phone) == []


def test_a_key_makes_it_live(desktop: Page) -> None:
    desktop.goto(PAGE)
    box = button(desktop).bounding_box()
    assert box is not None
    assert box["height"] >= 44
    for _ in range(60):
        desktop.keyboard.press("Tab")
        if button(desktop).evaluate("button => button === document.activeElement"):
            break
    desktop.keyboard.press("Enter")
    expect_live(desktop)
    expect(button(desktop)).to_be_focused()


def test_a_mouse_that_stays_makes_it_live_and_one_that_passes_does_not(desktop: Page) -> None:
    desktop.goto(PAGE)
    box = desktop.locator("#strength")
    box.scroll_into_view_if_needed()
    place = box.bounding_box()
    assert place is not None
    x, y = place["x"] + place["width"] / 2, place["y"] + place["height"] / 2
    desktop.mouse.move(x, y)
    desktop.mouse.move(1, 1)
    desktop.wait_for_timeout(600)
    assert desktop.evaluate("window.Plotly === undefined")
    desktop.mouse.move(x, y)
    expect_live(desktop)
    button(desktop).click()
    desktop.mouse.move(1, 1)
    desktop.mouse.move(x, y)
    desktop.wait_for_timeout(600)
    expect_still(desktop)


def test_the_values_of_a_live_chart_are_read_under_the_mouse(desktop: Page) -> None:
    """Which the page's strict policy allows: the window hears of nothing."""
    desktop.goto(PAGE)
    button(desktop).click()
    expect_live(desktop)
    desktop.locator("#strength .scatterlayer .point").first.hover(force=True)
    expect(desktop.locator("#strength .hoverlayer .hovertext")).to_have_count(1)


def test_where_the_script_cannot_be_had_the_picture_stays(phone: Page, ears: list[Ear]) -> None:
    phone.goto(PAGE)
    for trouble in ("/vendor/plotly", "ERR_FAILED"):
        ears[0].expect(trouble)
    phone.route("**/vendor/*", lambda route: route.abort())
    button(phone).tap()
    told = chart(phone).get_by_role("status")
    expect(told).to_contain_text("could not be loaded")
    expect_still(phone)
    phone.unroute("**/vendor/*")
    button(phone).tap()
    expect_live(phone)
    expect(told).to_have_count(0)


def test_the_picture_stands_until_the_script_is_there(phone: Page) -> None:
    phone.goto(PAGE)
    held: list[Route] = []
    phone.route("**/vendor/*", lambda route: held.append(route))
    button(phone).tap()
    expect(phone.locator("#strength")).to_have_attribute("aria-busy", "true")
    expect_still(phone)
    held[0].continue_()
    expect_live(phone)


def test_a_live_chart_follows_the_colour_scheme_and_paper_gets_the_picture(phone: Page) -> None:
    phone.goto(PAGE)
    button(phone).tap()
    expect_live(phone)
    switch(phone, "dark")
    ink = phone.evaluate("getComputedStyle(document.body).color")
    expect(phone.locator("#strength .xtick text").first).to_have_css("fill", ink)
    phone.emulate_media(media="print")
    expect(phone.locator("#strength > .still")).to_be_visible()
    expect(phone.locator("#strength .main-svg").first).to_be_hidden()
    expect(chart(phone).locator(".go-live")).to_be_hidden()


@pytest.fixture
def scriptless(browser: Browser, address: str) -> Iterator[Page]:
    context = browser.new_context(
        base_url=address,
        viewport={"width": PHONE["width"], "height": PHONE["height"]},
        java_script_enabled=False,
    )
    yield context.new_page()
    context.close()


def test_without_scripts_the_picture_is_all_there_is(scriptless: Page) -> None:
    scriptless.goto(PAGE)
    expect(scriptless.locator("#strength > .still")).to_be_visible()
    expect(scriptless.locator(".go-live").first).to_be_hidden()


def test_a_long_table_is_fetched_in_place(phone: Page, make: Make) -> None:
    bag = make.bag()
    for n in range(45):
        make.brew(bag=bag, dose_g=15 + n / 10, water_g=240.0)
    phone.goto(f"/bags/{bag.id}")
    phone.evaluate("window.stillHere = true")
    ratio = chart(phone, "chart-ratio")
    expect(ratio.locator("table")).to_have_count(0)
    ratio.get_by_role("link", name="The numbers").tap()
    expect(ratio.locator("tbody tr")).to_have_count(45)
    expect(ratio.locator("details.more > summary").last).to_be_focused()
    assert phone.evaluate("window.stillHere"), "the page was not loaded anew"
