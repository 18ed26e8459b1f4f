"""From Today to a conclusion about two cups: on a phone with every tap counted, and by keyboard.

A field that is typed into counts twice: the tap on it, and the typing.
"""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Brew, SideBySide, Tasting
from tests.support.factories import Make
from tests.support.thumb import Thumb, clean

pytestmark = pytest.mark.browser

PAIR_TAPS, TASTED_TAPS, PLANNED_TAPS, REVEALED_TAPS = 8, 20, 4, 7
SCALES = ("Strength", "Acidity", "Bitterness", "Sweetness", "Body", "Clarity")
NOTE = "The longer one is rounder."
REVEALED = re.compile("Right answer|Not this time")
PAIR_PAGE = re.compile(r"/side-by-side/\d+/\d+$")


@pytest.fixture(autouse=True)
def a_household(make: Make) -> None:
    """One who has brewed and tasted before."""
    pack = make.pack(name="White round")
    first, _second = make.filter(pack), make.filter(pack)
    brew = make.brew(filters=[first], dose_g=12.5, water_g=190, steep_s=90, press_s=20)
    make.tasting(brew, liking=6)


def asleep(page: Page, seconds: int) -> None:
    """A frozen page, as behind a locked screen: time goes by and no timer runs; those that are due
    run once when it wakes up (test_along stops a page for real)."""
    page.clock.fast_forward(seconds * 1000)


def last_two(journal: Database) -> list[Brew]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(Brew).order_by(Brew.id.desc()).limit(2)))[::-1]


def brewed_as_timed(journal: Database) -> None:
    a, b = last_two(journal)
    for brew, steep_s in ((a, 90), (b, 130)):
        assert brew.steep_s is not None
        assert brew.press_s is not None
        assert abs(brew.steep_s - steep_s) <= 1
        assert abs(brew.press_s - 20) <= 1


def concluded(journal: Database) -> None:
    with Session(journal.reader) as session:
        tastings = session.scalars(select(Tasting).order_by(Tasting.id.desc()).limit(2)).all()
        saved = session.scalars(select(SideBySide)).one()
    assert [tasting.liking for tasting in tastings[::-1]] == [6, 8]
    assert all(tasting.jar_clarity is not None for tasting in tastings)
    assert (saved.preference, saved.note) == ("b", NOTE)


def test_two_cups_from_today_to_a_conclusion_in_few_taps(
    phone: Page, address: str, journal: Database
) -> None:
    thumb = Thumb()
    phone.clock.install()
    phone.goto(address)
    logged(phone, thumb, journal)
    assert thumb.taps <= PAIR_TAPS
    print(f"a pair brewed along and logged in {thumb.taps} taps")

    thumb = Thumb()
    tasted(phone, thumb)
    concluded(journal)
    assert thumb.taps <= TASTED_TAPS
    print(f"both tasted, a conclusion saved in {thumb.taps} taps")

    thumb = Thumb()
    planned(phone, thumb)
    assert thumb.taps <= PLANNED_TAPS
    print(f"a blind triangle of the two planned in {thumb.taps} taps")

    thumb = Thumb()
    revealed(phone, thumb)
    assert thumb.taps <= REVEALED_TAPS
    print(f"its first trial answered and revealed in {thumb.taps} taps")


def logged(phone: Page, thumb: Thumb, journal: Database) -> None:
    """One thing changed, brewed along with a reload and a frozen page in between, both saved."""
    button = phone.get_by_role
    thumb.tap(button("link", name="Two of it"))
    thumb.tap(phone.locator("summary", has_text="Steep and press"))
    thumb.type(phone.get_by_label("B: Steep"), "2:10")
    clean(phone)
    thumb.tap(button("button", name="Brew along first"))
    phone.wait_for_url("**/along/**")
    clean(phone)
    thumb.tap(button("button", name="Start", exact=True))
    a, b = (phone.locator(f"[data-cup={letter}]") for letter in "AB")
    # B steeps longer, so it begins; A follows at 1:05, to be pressed once B has been.
    phone.clock.fast_forward(4_000)
    expect(phone.locator("#clock")).to_have_text(re.compile(r"0:[01]\d"))
    expect(b.locator("[data-scale]")).to_have_text(re.compile(r"\d+ of 190 g"))
    expect(a.locator("[data-now]")).to_have_text("Wait")
    clean(phone)
    phone.reload()
    expect(b.locator("[data-now]")).to_have_text("Pour 190 g")
    asleep(phone, 61)
    expect(phone.locator("#clock")).to_have_text(re.compile(r"1:[012]\d"))
    expect(a.locator("[data-now]")).to_have_text("Pour 190 g")
    clean(phone)
    asleep(phone, 85)
    expect(b.locator("[data-now]")).to_have_text("Ready")
    expect(phone.locator("#ready")).to_be_hidden()
    asleep(phone, 40)
    expect(a.locator("[data-now]")).to_have_text("Ready")
    clean(phone)
    thumb.tap(button("button", name="Log both"))
    thumb.tap(button("button", name="Save both brews"))
    expect(phone).to_have_url(PAIR_PAGE)
    brewed_as_timed(journal)
    clean(phone)


def tasted(phone: Page, thumb: Thumb) -> None:
    """Liking and all six scales of both, then which one again, with a note."""
    thumb.tap(phone.get_by_role("link", name="Taste both"))
    for title, a, b in [("Liking", 6, 8), *((scale, 3, 4) for scale in SCALES)]:
        for letter, step in (("A", a), ("B", b)):
            row = phone.get_by_role("radiogroup", name=f"{title} of cup {letter}")
            thumb.tap(row.locator("label").nth(step - 1))
    clean(phone)
    thumb.tap(phone.get_by_role("button", name="Save both tastings"))
    expect(phone).to_have_url(PAIR_PAGE)
    thumb.type(phone.get_by_label("Note"), NOTE)
    thumb.tap(phone.locator("#preference button[value=b]"))
    expect(phone.get_by_text("Side by side saved.")).to_be_visible()
    clean(phone)


def planned(phone: Page, thumb: Thumb) -> None:
    thumb.tap(phone.get_by_role("link", name="Test these two blind").first)
    phone.wait_for_url("**/blind/new**")
    clean(phone)
    thumb.tap(phone.get_by_role("radio", name="A medium one"))
    thumb.tap(phone.get_by_role("button", name="Start this test"))
    expect(phone.get_by_role("heading", name="1. Pour")).to_be_visible()
    clean(phone)


def revealed(phone: Page, thumb: Thumb) -> None:
    thumb.tap(phone.get_by_role("button", name="Poured and turned: taste"))
    expect(phone.get_by_text("Which is the odd one?").first).to_be_visible()
    clean(phone)
    thumb.tap(phone.get_by_role("radio", name="Nearest"))
    thumb.tap(phone.get_by_role("button", name="I am sure"))
    thumb.tap(phone.get_by_role("button", name="2", exact=True))
    expect(phone.get_by_role("heading", name=REVEALED)).to_be_visible()
    clean(phone)


class Keys:
    """Nothing but a keyboard: goes from control to control, as far as the page is long."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def press(self, *keys: str) -> None:
        for key in keys:
            self.page.keyboard.press(key)

    def to(self, place: Locator, most: int = 90) -> None:
        place.wait_for(state="attached")
        for _ in range(most):
            self.press("Tab")
            if place.evaluate("one => one === document.activeElement"):
                assert self.page.evaluate(SEEN), "the focus is not to be seen"
                return
        raise AssertionError(f"{place} is not reached with {most} times Tab")

    def choose(self, radio: Locator, most: int = 90) -> None:
        """Into the group with Tab, then along it with arrows."""
        radio.wait_for(state="attached")
        for _ in range(most):
            if radio.evaluate("one => one === document.activeElement"):
                return self.press("Space")
            there = radio.evaluate("one => one.name === document.activeElement.name")
            self.press("ArrowDown" if there else "Tab")
        raise AssertionError(f"{radio} is not reached")

    def open(self, place: Locator, address: str) -> None:
        self.to(place)
        self.press("Enter")
        self.page.wait_for_url(re.compile(address))
        self.page.wait_for_load_state()


# What has the focus, or its label, has an outline.
SEEN = """() => {
    const one = document.activeElement;
    const shown = [one, one.closest("label")].filter(Boolean);
    return shown.some((place) => getComputedStyle(place).outlineStyle !== "none");
}"""


def test_the_same_by_keyboard_alone(desktop: Page, address: str, journal: Database) -> None:
    keys, by = Keys(desktop), desktop.get_by_role
    desktop.clock.install()
    desktop.goto(address)
    keys.open(by("link", name="Two of it"), "/brews/two/new")
    keys.to(desktop.locator("summary", has_text="Steep and press"))
    keys.press("Enter")
    keys.to(desktop.get_by_label("B: Steep"))
    keys.press("Control+a", "2", ":", "1", "0")
    keys.open(by("button", name="Brew along first"), "/along/")
    clean(desktop)
    keys.press(" ")
    desktop.clock.fast_forward(132_000)
    expect(desktop.locator("[data-cup=B] [data-now]")).to_have_text("Press")
    desktop.reload()
    desktop.clock.fast_forward(200_000)
    expect(desktop.locator("#ready")).to_be_visible()
    clean(desktop)
    keys.open(by("button", name="Log both"), "/brews/two/new")
    keys.open(by("button", name="Save both brews"), r"/side-by-side/\d+/\d+$")
    brewed_as_timed(journal)

    keys.open(by("link", name="Taste both"), "/taste/")
    for title, a, b in [("Liking", 6, 8), *((scale, 3, 4) for scale in SCALES)]:
        for letter, step in (("A", a), ("B", b)):
            row = by("radiogroup", name=f"{title} of cup {letter}")
            keys.to(row.locator("input:checked"))  # no answer, the last of the row
            keys.press(*["ArrowRight"] * step)
    clean(desktop)
    keys.open(by("button", name="Save both tastings"), r"/side-by-side/\d+/\d+$")
    keys.to(desktop.get_by_label("Note"))
    desktop.keyboard.type(NOTE)
    keys.to(desktop.locator("#preference button[value=b]"))
    keys.press("Enter")
    expect(desktop.get_by_text("Side by side saved.")).to_be_visible()
    concluded(journal)

    keys.open(by("link", name="Test these two blind"), "/blind/new")
    keys.choose(by("radio", name="A medium one"))
    keys.open(by("button", name="Start this test"), r"/blind/.*trials?/")
    keys.open(by("button", name="Poured and turned: taste"), "/blind/")
    keys.choose(by("radio", name="Nearest"))
    keys.open(by("button", name="I am sure"), "/blind/")
    keys.open(by("button", name="2", exact=True), "/blind/")
    expect(by("heading", name=REVEALED)).to_be_visible()


def test_what_went_wrong_is_told_where_it_can_be_read(phone: Page, address: str) -> None:
    phone.goto(address)
    phone.get_by_role("link", name="Two of it").tap()
    phone.locator("summary", has_text="Dose and water").tap()
    phone.get_by_label("B: Dose").fill("none")
    phone.get_by_role("button", name="Brew along first").tap()
    expect(phone.get_by_text("say at least how much coffee and how much water")).to_be_visible()
    expect(phone.get_by_label("B: Dose")).to_have_value("none")
    clean(phone)
    phone.get_by_role("button", name="Save both brews").tap()
    expect(phone.get_by_role("alert")).to_contain_text("Nothing was saved yet")
    clean(phone)


def test_a_paused_clock_can_be_read_by_everybody(phone: Page, address: str) -> None:
    phone.goto(f"{address}/along/like/1")
    phone.get_by_role("button", name="Start", exact=True).tap()
    phone.get_by_role("button", name="Pause").tap()
    expect(phone.get_by_role("button", name="Go on")).to_be_visible()
    clean(phone)
