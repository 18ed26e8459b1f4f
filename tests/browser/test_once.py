"""Impatient taps make one row, and a page come back to can be sent again."""

from __future__ import annotations

import time

import pytest
from playwright.sync_api import Page, Route, expect
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Question

pytestmark = pytest.mark.browser

TAPS = "button => { for (let n = 0; n < 5; n++) setTimeout(() => button.click(), 40 * n); }"
SLOW_S = 0.4


@pytest.fixture(autouse=True)
def slow(phone: Page) -> None:
    """Nothing arrives before all taps are made."""

    def later(route: Route) -> None:
        if route.request.method == "POST":
            time.sleep(SLOW_S)
        route.continue_()

    phone.route("**/questions/new", later)


def asked(journal: Database) -> int:
    with Session(journal.reader) as session:
        return session.scalar(select(func.count()).select_from(Question)) or 0


def test_five_taps_ask_one_question(phone: Page, journal: Database) -> None:
    sent: list[str] = []
    phone.on("request", lambda request: sent.append(request.method))
    for number in (1, 2):
        phone.goto("/questions/new")
        phone.locator("[name=text]").fill("Does a third use taste different?")
        phone.locator(".save-bar button").evaluate(TAPS)
        expect(phone.get_by_text("The question is asked.")).to_be_visible()
        assert sent.count("POST") == asked(journal) == number


def test_a_form_that_came_back_can_be_sent_again(phone: Page, journal: Database) -> None:
    phone.goto("/questions/new")
    phone.locator(".save-bar button").evaluate(TAPS)
    expect(phone.get_by_text("Nothing was saved yet")).to_be_visible()
    phone.locator("[name=text]").fill("Does it?")
    phone.locator(".save-bar button").evaluate(TAPS)
    expect(phone.get_by_text("The question is asked.")).to_be_visible()
    assert asked(journal) == 1
