"""The morning, on a phone: the same again, a changed brew, a brew remembered late."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.uses import uses_of_brews
from app.models import Brew, Filter
from tests.support.factories import Make

pytestmark = pytest.mark.browser
FEWER_THAN = 12


class Hands:
    """Counts what a person does: each tap, each field typed into."""

    def __init__(self, page: Page) -> None:
        self.page, self.done = page, 0

    def tap(self, role: str, name: str) -> None:
        found = self.page.get_by_role(role, name=re.compile(name))  # type: ignore[arg-type]
        found.first.tap()
        self.done += 1

    def open_row(self, title: str) -> None:
        words = self.page.get_by_text(title, exact=True)
        self.page.locator("details.fold > summary").filter(has=words).tap()
        self.done += 1

    def type(self, label: str, text: str) -> None:
        self.page.get_by_label(label, exact=True).first.fill(text)
        self.done += 1


def brews(journal: Database) -> int:
    with Session(journal.reader) as session:
        return session.scalar(select(func.count()).select_from(Brew)) or 0


def paper_used_three_times(make: Make) -> tuple[Filter, list[Brew]]:
    pack = make.pack(name="White round")
    paper = make.filter(pack)
    days = ("2026-09-07", "2026-09-09", "2026-09-11")
    return paper, [
        make.brew(filters=[paper], brewed_at=f"{day}T07:00", dose_g=11.0, water_g=200.0)
        for day in days
    ]


def test_the_same_again_is_two_taps_and_counts_the_filter(
    phone: Page, make: Make, journal: Database
) -> None:
    paper_used_three_times(make)
    phone.goto("/")
    expect(phone.get_by_text("4th use")).to_be_visible()
    hands = Hands(phone)
    hands.tap("link", "^Same again$")
    hands.tap("button", "Save this brew")
    expect(phone.get_by_text("Brew saved.")).to_be_visible()
    expect(phone.get_by_text("4th use")).to_be_visible()
    assert hands.done == 2
    assert brews(journal) == 4


def test_a_changed_brew_takes_few_hands(phone: Page, make: Make, journal: Database) -> None:
    paper_used_three_times(make)
    phone.goto("/")
    hands = Hands(phone)
    hands.tap("link", "^Same again$")
    hands.open_row("Dose and water")
    hands.type("Dose", "22")
    hands.type("Brew water", "240")
    hands.open_row("Bypass and ice")
    hands.type("Bypass water", "160")
    hands.open_row("Filter")
    hands.tap("radio", "^Fresh: White round")
    expect(phone.locator("#ratio")).to_have_text("1 : 10.9, 1 : 18.2 in all · 55 g/L")
    expect(phone.get_by_text("22 g · 240 g")).to_be_visible()
    hands.tap("button", "Save this brew")
    expect(phone.get_by_text("Brew saved.")).to_be_visible()
    expect(phone.get_by_text("1st use")).to_be_visible()
    assert hands.done < FEWER_THAN
    assert brews(journal) == 4


def test_a_brew_of_last_tuesday_renumbers_the_paper(
    phone: Page, make: Make, journal: Database
) -> None:
    _, logged = paper_used_three_times(make)
    phone.goto("/brews/new")
    hands = Hands(phone)
    hands.open_row("When")
    hands.type("When (empty: now)", "2026-09-08T07:15")
    hands.tap("button", "Save this brew")
    expect(phone.get_by_text("2nd use")).to_be_visible()
    with Session(journal.reader) as session:
        stacks = uses_of_brews(session, [brew.id for brew in logged])
    assert [stacks[brew.id][0].number for brew in logged] == [1, 3, 4]


def test_a_slip_opens_its_row_and_keeps_what_was_typed(phone: Page, make: Make) -> None:
    paper_used_three_times(make)
    phone.goto("/brews/new")
    hands = Hands(phone)
    hands.open_row("Water")
    hands.type("Water temperature", "hot")
    hands.tap("button", "Save this brew")
    field = phone.get_by_label("Water temperature", exact=True)
    expect(field).to_be_visible()
    expect(field).to_have_value("hot")
    expect(field).to_have_attribute("aria-invalid", "true")


def test_what_was_typed_survives_a_reload(phone: Page, make: Make) -> None:
    paper_used_three_times(make)
    phone.goto("/brews/new")
    hands = Hands(phone)
    hands.open_row("Dose and water")
    hands.type("Dose", "13,5")
    phone.reload()
    phone.get_by_role("button", name="Bring it back").tap()
    expect(phone.locator("#dose_g")).to_have_value("13,5")
    hands.tap("button", "Save this brew")
    expect(phone.get_by_text("Brew saved.")).to_be_visible()
    phone.goto("/brews/new")
    expect(phone.get_by_role("button", name="Bring it back")).to_have_count(0)


FULL = "Storage.prototype.setItem = () => { throw new DOMException('', 'QuotaExceededError'); };"
FORBIDDEN = """for (const name of ["localStorage", "sessionStorage"]) {
    Object.defineProperty(window, name, { get() { throw new DOMException("", "SecurityError"); } });
}"""


@pytest.mark.parametrize("storage", [FULL, FORBIDDEN], ids=["full", "forbidden"])
def test_a_brew_is_saved_though_the_browser_stores_nothing(
    phone: Page, make: Make, journal: Database, storage: str
) -> None:
    paper_used_three_times(make)
    phone.add_init_script(storage)
    phone.goto("/brews/new")
    hands = Hands(phone)
    hands.open_row("Dose and water")
    hands.type("Dose", "13,5")
    hands.tap("button", "Save this brew")
    expect(phone.get_by_text("Brew saved.")).to_be_visible()
    assert brews(journal) == 4


def test_the_browser_tells_its_time_zone(phone: Page, make: Make, journal: Database) -> None:
    paper_used_three_times(make)
    phone.goto("/")
    phone.evaluate(
        """async () => {
            while (!document.cookie.includes('zone=UTC')) await new Promise(requestAnimationFrame);
        }"""
    )
