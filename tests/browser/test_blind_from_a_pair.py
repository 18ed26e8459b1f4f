"""From two brews straight to a blind test: taps counted on a phone, and the same by keyboard."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta

import pytest
from playwright.sync_api import Locator, Page, expect
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import BlindTest, Brew, Question, QuestionBlindTest, QuestionSideBySide
from tests.support.accessible import grave
from tests.support.blind import all_trials
from tests.support.browser import PHONE
from tests.support.clock import NOON
from tests.support.factories import Make

pytestmark = pytest.mark.browser
REVEALED = re.compile("Right answer|Not this time")
# Counted by the pages themselves, whatever is touched and whichever key is pressed.
COUNT = """
    const count = (name) => Number(sessionStorage.getItem(name));
    const hear = (event, name) =>
        addEventListener(event, () => sessionStorage.setItem(name, 1 + count(name)), true);
    hear("pointerdown", "taps");
    hear("keydown", "keys");
"""
TOUCHED = """['taps', 'keys'].map((what) => Number(sessionStorage.getItem(what)))"""
TWO_SCREENS = 2 * PHONE["height"]


@pytest.fixture
def two_cups(make: Make, freeze: Callable[[object], None]) -> tuple[Brew, Brew]:
    """A minute apart, tasted by Juniper; it is a quarter past now."""
    cups = [
        make.brew(brewed_at=NOON + timedelta(minutes=late), zone="UTC", **differs)
        for late, differs in enumerate(({"dose_g": 14.5}, {"dose_g": 16.0}))
    ]
    make.tasting(cups[0], taster=make.taster(name="Juniper"), tasted_at=NOON)
    freeze(NOON + timedelta(minutes=15))
    return cups[0], cups[1]


def touched(page: Page) -> list[int]:
    """Taps and keys so far."""
    return list(page.evaluate(TOUCHED))


def from_its_page_to_the_key(page: Page, link: str, act: Callable[[Locator], None]) -> list[int]:
    """A triangle from the pair to the revealed trial; gives the counts at the first trial, when its
    cups are served, and at its key."""
    counts = []
    act(page.get_by_role("link", name=link).first)
    act(page.get_by_role("radio", name="A medium one"))
    act(page.get_by_role("button", name="Start this test"))
    expect(page.get_by_role("heading", name="1. Pour")).to_be_visible()
    counts.append(sum(touched(page)))
    act(page.get_by_role("button", name="Poured and turned: taste"))
    expect(page.get_by_text("Which is the odd one?").first).to_be_visible()
    counts.append(sum(touched(page)))
    act(page.get_by_role("radio", name="Nearest"))
    act(page.get_by_role("button", name="I am sure"))
    act(page.get_by_role("button", name="2", exact=True))
    expect(page.get_by_role("heading", name=REVEALED)).to_be_visible()
    return [*counts, sum(touched(page))]


def test_a_triangle_of_the_two_is_planned_in_3_taps_served_in_4_and_revealed_in_7(
    phone: Page, journal: Database, two_cups: tuple[Brew, Brew]
) -> None:
    a, b = two_cups
    phone.add_init_script(COUNT)
    phone.goto(f"/side-by-side/{a.id}/{b.id}")
    counts = from_its_page_to_the_key(phone, "Test these two blind", lambda at: at.tap())
    assert counts == [3, 4, 7]
    assert touched(phone) == [7, 0]  # nothing was typed
    (trial,) = all_trials(journal)
    assert trial.answer is not None
    assert trial.lifted == "2"
    with Session(journal.reader) as session:
        test = session.scalars(select(BlindTest)).one()
    assert (test.method, test.claim, test.rule) == ("triangle", "these cups", "every morning")
    assert (test.a_brew_id, test.b_brew_id, test.pouring) == (a.id, b.id, "solo")
    assert (test.a_words, test.b_words) == (
        "dose 14.5\N{NO-BREAK SPACE}g",
        "dose 16\N{NO-BREAK SPACE}g",
    )
    assert test.p_d == pytest.approx(0.3)


def test_a_question_is_tested_in_as_many_and_the_test_is_gathered_there(
    phone: Page, journal: Database, make: Make, two_cups: tuple[Brew, Brew]
) -> None:
    asked = {"text": "Does the dose matter?", "factors": ["dose"], "asked_at": NOON}
    question, pair = make.save(Question(**asked)), make.side_by_side(*two_cups)
    make.save(QuestionSideBySide(question_id=question.id, side_by_side_id=pair.id))
    phone.add_init_script(COUNT)
    phone.goto(f"/questions/{question.id}")
    counts = from_its_page_to_the_key(phone, "Test it blind", lambda at: at.tap())
    assert counts == [3, 4, 7]
    with Session(journal.reader) as session:
        under = session.execute(select(QuestionBlindTest.question_id, QuestionBlindTest.test_id))
        assert under.all() == [(question.id, all_trials(journal)[0].test_id)]


def test_the_same_by_keyboard(
    desktop: Page, journal: Database, two_cups: tuple[Brew, Brew]
) -> None:
    """Each control is reached with Tab and worked with a key, where one sees that it is."""

    def press(at: Locator) -> None:
        for _ in range(80):
            if at.evaluate("element => element === document.activeElement"):
                break
            is_radio = at.get_attribute("type") == "radio"
            same = "(me) => document.activeElement?.name === me.name && me.type === 'radio'"
            desktop.keyboard.press("ArrowDown" if is_radio and at.evaluate(same) else "Tab")
        assert at.evaluate("element => element === document.activeElement")
        assert at.evaluate("element => element.matches(':focus-visible')")
        desktop.keyboard.press("Space" if at.get_attribute("type") == "radio" else "Enter")

    desktop.goto(f"/side-by-side/{two_cups[0].id}/{two_cups[1].id}")
    desktop.add_init_script(COUNT)
    from_its_page_to_the_key(desktop, "Test these two blind", press)
    assert all_trials(journal)[0].lifted == "2"


def test_the_plan_is_two_screens_at_most_when_it_is_folded(
    phone: Page, two_cups: tuple[Brew, Brew]
) -> None:
    a, b = two_cups
    for address in (f"/blind/new?a_brew_id={a.id}&b_brew_id={b.id}", "/blind/new"):
        phone.goto(address)
        assert phone.evaluate("document.documentElement.scrollHeight") <= TWO_SCREENS, address
        assert phone.evaluate("document.documentElement.scrollWidth") == PHONE["width"]
        assert grave(phone) == []
        phone.get_by_text("Choose otherwise").tap()
        assert grave(phone) == []
        assert phone.evaluate("document.documentElement.scrollWidth") == PHONE["width"]
    phone.get_by_role("button", name="Start this test").tap()
    expect(phone.get_by_text("Nothing was saved yet")).to_be_visible()
    expect(phone.locator("#otherwise")).not_to_have_attribute("open", "")  # nothing in it is wrong


def test_what_is_chosen_otherwise_is_said_kept_and_unfolds_where_it_is_wrong(
    phone: Page, two_cups: tuple[Brew, Brew]
) -> None:
    a, b = two_cups
    phone.goto(f"/blind/new?a_brew_id={a.id}&b_brew_id={b.id}")
    said = phone.locator("[data-sentence]")
    expect(said).to_contain_text("three cups, two of them the same, and say which is the odd one")
    phone.get_by_text("Choose otherwise").tap()
    phone.locator("label.choice", has_text="Two cups: which has more").tap()
    expect(said).to_contain_text("say which has more of what you name")
    phone.locator("label.choice", has_text="A fixed number").tap()
    expect(said).to_contain_text("there are 18 trials and no more")
    phone.get_by_text("Choose otherwise").tap()
    phone.get_by_text("A medium one").tap()
    phone.get_by_role("button", name="Start this test").tap()
    attribute = phone.get_by_label("What to taste for")
    expect(attribute).to_be_visible()
    expect(phone.get_by_text("Name what to taste for, such as")).to_be_visible()
    expect(phone.locator("[name=rule]:checked")).to_have_value("fixed number")
    attribute.fill("sweetness")
    attribute.press("Tab")
    expect(said).to_contain_text("say which has more sweetness")
    phone.get_by_role("button", name="Start this test").tap()
    expect(phone.get_by_role("heading", name="1. Pour")).to_be_visible()
