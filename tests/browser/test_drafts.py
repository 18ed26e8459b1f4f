"""What was typed and not saved is offered again, each tab its own, and never makes a second row."""

from __future__ import annotations

from http.client import HTTPConnection
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Page, Request, Route, expect
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Brew, Question
from tests.support.browser import Ear
from tests.support.clock import NOON
from tests.support.factories import Make

pytestmark = pytest.mark.browser


def notes(journal: Database) -> list[str]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(Brew.note).order_by(Brew.id)))


def answer(journal: Database) -> str:
    with Session(journal.reader) as session:
        return session.scalars(select(Question)).one().answer


def send_past_the_browser(request: Request) -> None:
    """As the browser would, but nothing of the answer reaches it, no cookie either."""
    cookies = "; ".join(f"{c['name']}={c['value']}" for c in request.frame.page.context.cookies())
    where = urlsplit(request.url)
    wire = HTTPConnection(where.netloc)
    wire.request(
        "POST", where.path, request.post_data_buffer, request.headers | {"Cookie": cookies}
    )
    assert wire.getresponse().status == 303
    wire.close()


def type_note(page: Page, text: str) -> None:
    note = page.locator("[name=note]")
    page.locator("details:not([open])", has=note).locator("summary").first.click()
    note.press_sequentially(text)


def test_each_tab_gets_back_its_own(phone: Page, make: Make) -> None:
    """C18: two tabs of one form do not write over each other's draft."""
    make.brew()
    tabs = {"the first": phone, "the second": phone.context.new_page()}
    for text, tab in tabs.items():
        tab.goto("/brews/new")
        type_note(tab, text)
    for text, tab in tabs.items():
        tab.reload()
        tab.get_by_role("button", name="Bring it back").click()
        expect(tab.locator("[name=note]")).to_have_value(text)


def test_a_draft_brought_back_after_a_lost_answer_makes_no_second_brew(
    phone: Page, make: Make, journal: Database, ears: list[Ear]
) -> None:
    """C9a"""
    make.brew(note="before")

    def lose_the_answer(route: Route) -> None:
        if route.request.method == "POST":
            send_past_the_browser(route.request)
            route.abort()
        else:
            route.continue_()

    ears[0].expect("ERR_FAILED")
    phone.route("**/brews/new", lose_the_answer)
    phone.goto("/brews/new")
    type_note(phone, "only once")
    phone.locator(".save-bar button").click()
    phone.wait_for_url("chrome-error://**")
    assert notes(journal) == ["before", "only once"]

    phone.unroute("**/brews/new")
    phone.goto("/brews/new")
    phone.reload()  # it is still offered
    phone.get_by_role("button", name="Bring it back").click()
    phone.locator(".save-bar button").click()
    expect(phone.get_by_text("This was saved already")).to_be_visible()
    assert notes(journal) == ["before", "only once"]
    phone.goto("/brews/new")
    expect(phone.get_by_text("Bring it back")).to_have_count(0)


@pytest.mark.parametrize("way", ["Try again", "Bring it back"])
def test_after_a_lost_session_an_hour_of_writing_is_there(
    desktop: Page, make: Make, journal: Database, ears: list[Ear], way: str
) -> None:
    """C18: it is sent once more from the page that says so, or comes back into a new form."""
    make.save(Question(text="Does it matter?", asked_at=NOON))
    ears[0].expect("status of 400")
    desktop.goto("/questions/1")
    desktop.get_by_text("Write the answer").click()
    desktop.locator("[name=answer]").press_sequentially("An hour of writing.")
    desktop.context.clear_cookies()
    desktop.get_by_role("button", name="Save as answered").click()
    expect(desktop.get_by_role("heading", name="That did not work")).to_be_visible()
    assert answer(journal) == ""

    if way == "Bring it back":
        desktop.goto("/questions/1")
    desktop.get_by_role("button", name=way).click()
    if way == "Bring it back":
        desktop.get_by_role("button", name="Save as answered").click()
    expect(desktop.get_by_text("Answer saved")).to_be_visible()
    assert answer(journal) == "An hour of writing."
    desktop.goto("/questions/1")
    expect(desktop.get_by_text("Bring it back")).to_have_count(0)
