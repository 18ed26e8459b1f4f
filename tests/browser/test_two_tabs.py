"""Two windows change one thing, with the keyboard alone; the second chooses what is saved."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import pytest
from playwright.sync_api import Page, expect
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Brew, Question, Settings
from tests.support.browser import Ear
from tests.support.clock import NOON
from tests.support.factories import Make

pytestmark = pytest.mark.browser

NO_WIDER = "document.documentElement.scrollWidth <= document.documentElement.clientWidth"


class Change(NamedTuple):
    """A form: the field both windows type into, the one that only the second does, the button."""

    address: str
    both: str
    mine: str
    button: str
    made: Callable[[Make], object]
    row: type
    texts: tuple[str, str, str]


CHANGES = {
    "brew": Change(
        "/brews/1/edit", "note", "dose_g", "Save changes", lambda make: make.brew(note="as logged"),
        Brew, ("sweet, long", "short, sharp", "19"),
    ),
    "answer": Change(
        "/questions/1", "answer", "state", "Save as answered",
        lambda make: make.save(Question(text="Does it matter?", asked_at=NOON, answer="perhaps")),
        Question, ("an hour of writing", "another hour of writing", "answered"),
    ),
    "settings": Change(
        "/settings/", "currency", "kettle_efficiency_pct", "Save settings", lambda make: None,
        Settings, ("JPY", "SEK", "80"),
    ),
}  # fmt: skip


@pytest.fixture(params=["phone", "desktop"])
def window(request: pytest.FixtureRequest, ears: list[Ear]) -> Page:
    page: Page = request.getfixturevalue(request.param)
    ears[0].expect("status of 409")
    return page


def go(page: Page, label: str) -> None:
    """Press what is called so, with the keyboard."""
    page.get_by_role("button", name=label, exact=True).focus()
    page.keyboard.press("Enter")


def type_into(page: Page, name: str, text: str) -> None:
    field = page.locator(f"[name={name}]")
    fold = page.locator("details:not([open])", has=field)
    if fold.count():
        fold.locator("summary").first.focus()
        page.keyboard.press("Enter")
    field.focus()
    page.keyboard.press("Control+A")
    page.keyboard.type(text)


def choose(page: Page, name: str, side: str) -> None:
    page.locator(f"[name='take-{name}'][value={side}]").focus()
    page.keyboard.press("Space")
    expect(page.locator(f"[name='take-{name}'][value={side}]")).to_be_checked()


def stands(journal: Database, change: Change) -> tuple[str, str]:
    with Session(journal.reader) as session:
        row = session.scalars(select(change.row)).one()
        both, mine = getattr(row, change.both), getattr(row, change.mine)
        return both, f"{mine:g}" if isinstance(mine, float) else str(mine)


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
@pytest.mark.parametrize("side", ["mine", "theirs"])
def test_the_second_window_chooses(
    window: Page, make: Make, journal: Database, change: Change, side: str
) -> None:
    """C2: both texts are on the page, and what is chosen is saved."""
    change.made(make)
    first_text, second_text, own = change.texts
    first, second = window, window.context.new_page()
    second.set_viewport_size(window.viewport_size or {"width": 390, "height": 844})
    for page in (first, second):
        page.goto(change.address)
    type_into(first, change.both, first_text)
    go(first, "Save and leave open" if change.row is Question else change.button)
    expect(first.locator(".flash.message:not(.draft)")).to_be_visible()
    type_into(second, change.both, second_text)
    if change.row is not Question:
        type_into(second, change.mine, own)
    go(second, change.button)

    expect(second.get_by_role("heading", name="Changed meanwhile")).to_be_visible()
    for text in (first_text, second_text):
        expect(second.locator(".version", has_text=text).first).to_be_visible()
    assert second.evaluate(NO_WIDER)
    choose(second, change.both, side)
    go(second, "Save what is chosen above")
    expect(second.locator(".flash.message:not(.draft)")).to_be_visible()
    assert stands(journal, change) == (first_text if side == "theirs" else second_text, own)
    second.goto(change.address)
    expect(second.get_by_text("Bring it back")).to_have_count(0)
