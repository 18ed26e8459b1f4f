"""Planning a blind test: what does not go together is not offered, with scripts and without."""

from __future__ import annotations

import itertools
from random import Random

import pytest
from playwright.sync_api import Page, expect

from app.blind.choices import CARDS
from app.sensory.blind.design import closed, refused
from app.sensory.terms import BREWINGS, CLAIMS, METHODS, POURINGS, RULES
from tests.support.browser import Ear

pytestmark = pytest.mark.browser
FITS = "document.documentElement.scrollWidth <= document.documentElement.clientWidth"
WORDS = {
    "claim": CLAIMS, "brewing": BREWINGS, "method": METHODS,
    "tasting": ("one", "several", "panel"), "pouring": POURINGS, "rule": RULES,
    "reminder": ("no", "yes"), "controls": ("none", "some"),
}  # fmt: skip
PUT = """([fields, plan]) => {
  const form = document.querySelector("form[data-plan]");
  for (const field of fields)
    for (const card of form.querySelectorAll(`input[type=radio][name=${field}]`))
      card.checked = card.value === plan[field], card.disabled = false;
  form.elements.reminder.checked = plan.reminder === "yes";
  form.elements.controls.value = plan.controls === "some" ? "9" : "";
  form.dispatchEvent(new Event("change"));
}"""
# What the page holds then, and what it lets somebody choose.
HOLDS = """(fields) => {
  const form = document.querySelector("form[data-plan]");
  const cards = (field) => [...form.querySelectorAll(`input[type=radio][name=${field}]`)];
  const shown = (input) => !input.disabled && input.checkVisibility();
  const now = Object.fromEntries(
    fields.map((field) => [field, cards(field).find((card) => card.checked).value]));
  const ticked = form.elements.reminder.checked && now.method === "A-not-A";
  now.reminder = ticked ? "yes" : "no";
  now.controls = Number(form.elements.controls.value) > 0 ? "some" : "none";
  const offered = Object.fromEntries(
    fields.map((field) => [field, cards(field).filter(shown).map((card) => card.value)]));
  const every = Object.fromEntries(
    fields.map((field) => [field, cards(field).map((card) => card.value)]));
  const asks = (field) => form.elements[field].checkVisibility();
  return { now, offered, every, reminder: asks("reminder"), controls: asks("controls") };
}"""


def option(page: Page, words: str):  # type: ignore[no-untyped-def]
    return page.locator("label.choice", has_text=words)


def test_a_choice_takes_away_what_does_not_go_with_it_and_says_why(phone: Page) -> None:
    phone.goto("/blind/new")
    phone.get_by_text("Choose otherwise").tap()
    assert phone.evaluate(FITS)
    brewing = phone.locator("#brewing")
    expect(option(phone, "Fresh for every trial")).to_be_hidden()
    expect(brewing).to_contain_text("Left out: Fresh for every trial, Every cup by itself.")
    expect(option(phone, "Tetrad")).to_be_visible()

    option(phone, "These ways of brewing").tap()
    expect(option(phone, "One brew of each")).to_be_hidden()
    expect(option(phone, "Fresh for every trial").locator("input")).to_be_checked()
    expect(brewing).to_contain_text("Changed to: Fresh for every trial.")
    expect(phone.locator("#pouring")).to_contain_text("Changed to: Somebody else pours.")
    expect(phone.locator("#rule")).to_contain_text("Changed to: A fixed number.")
    expect(phone.get_by_label("Trials of A against A mixed in")).to_have_value("18")
    expect(phone.get_by_text("the other stands out even if the recipe")).to_be_visible()

    option(phone, "Every cup by itself").tap()
    expect(phone.get_by_text("the other stands out even if the recipe")).to_have_count(0)
    expect(option(phone, "I pour for myself")).to_be_visible()
    assert phone.evaluate(FITS)


def test_plans_put_to_the_page_become_ones_that_hold_of_cards_that_go_together(phone: Page) -> None:
    """Some of 5,184; all of them are in tests/blind/test_planned_otherwise.py."""
    every = [dict(zip(WORDS, words, strict=True)) for words in itertools.product(*WORDS.values())]
    phone.goto("/blind/new")
    phone.get_by_text("Choose otherwise").tap()
    for plan in Random(7).sample(every, 80):
        phone.evaluate("document.querySelector('[data-sentence]').textContent = ''")
        phone.evaluate(PUT, [CARDS, plan])
        expect(phone.locator("[data-sentence]")).not_to_be_empty()  # the answer was put in
        held = phone.evaluate(HOLDS, CARDS)
        now = held["now"]
        assert refused(now) == {}, plan
        for field in CARDS:
            shut = closed(field, now)
            assert held["offered"][field] == [w for w in held["every"][field] if w not in shut]
        may_remind = now["method"] == "A-not-A" and "yes" not in closed("reminder", now)
        assert held["reminder"] == may_remind, plan
        assert held["controls"] == ("some" not in closed("controls", now)), plan


def test_only_what_is_asked_for_is_shown(phone: Page) -> None:
    phone.goto("/blind/new")
    phone.get_by_text("Choose otherwise").tap()
    expect(phone.get_by_label("What to taste for", exact=True)).to_be_hidden()
    expect(phone.get_by_label("Number of trials", exact=True)).to_be_hidden()
    expect(phone.get_by_label("Taste a cup known to be A first")).to_be_hidden()
    option(phone, "Two cups: which has more").tap()
    expect(phone.get_by_label("What to taste for", exact=True)).to_be_visible()
    option(phone, "A fixed number").tap()
    expect(phone.get_by_label("Number of trials", exact=True)).to_be_visible()
    option(phone, "One coded cup: is it A?").tap()
    expect(phone.get_by_label("Taste a cup known to be A first")).to_be_visible()


def test_with_script_off_the_answer_keeps_what_goes_and_offers_only_what_goes_with_it(
    phone: Page, ears: list[Ear]
) -> None:
    ears[0].expect("422")
    phone.route(
        "**/plan*.js*", lambda route: route.fulfill(body="", content_type="text/javascript")
    )
    phone.goto("/blind/new")
    phone.get_by_label("Cup A", exact=True).fill("kettle water")
    phone.get_by_label("Cup B", exact=True).fill("water from the jug")
    phone.get_by_text("Choose otherwise").tap()
    expect(option(phone, "Fresh for every trial")).to_be_hidden()
    option(phone, "These ways of brewing").tap()
    option(phone, "Tetrad").tap()
    phone.get_by_label("Name of a new taster").fill("Juniper")
    phone.get_by_text("Only a large one").tap()
    phone.get_by_role("button", name="Start this test").tap()
    expect(phone.get_by_text("can only show that these two brews differ")).to_have_count(1)
    expect(phone.get_by_text("keep their neighbours")).to_have_count(1)
    expect(phone.get_by_label("Cup A", exact=True)).to_have_value("kettle water")
    expect(option(phone, "Tetrad").locator("input")).to_be_checked()
    expect(option(phone, "One brew of each")).to_be_hidden()
    expect(option(phone, "I pour for myself")).to_be_hidden()

    phone.get_by_role("button", name="Start this test").tap()  # what was changed goes together
    expect(phone.get_by_text("The plan stands, and this is its first trial.")).to_be_visible()
