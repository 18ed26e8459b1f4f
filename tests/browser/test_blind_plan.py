"""Planning a blind test: what does not go together is not offered, with scripts and without."""

from __future__ import annotations

import itertools

import pytest
from playwright.sync_api import Page, expect

from app.blind.choices import CARDS
from app.sensory.blind.design import FIELDS, closed
from app.sensory.terms import BREWINGS, CLAIMS, METHODS, POURINGS, RULES
from tests.support.browser import Ear

pytestmark = pytest.mark.browser
FITS = "document.documentElement.scrollWidth <= document.documentElement.clientWidth"
WORDS = {
    "claim": CLAIMS, "brewing": BREWINGS, "method": METHODS, "reminder": ("no", "yes"),
    "tasting": ("one", "several", "panel"), "pouring": POURINGS, "rule": RULES,
    "controls": ("none", "some"),
}  # fmt: skip
# What the page makes of each plan that is put to it, and which cards it then shows.
MAKES_OF = """([fields, plans]) => {
  const form = document.querySelector("form[data-plan]");
  const cards = (field) => [...form.querySelectorAll(`input[type=radio][name=${field}]`)];
  const shown = (input) => !input.disabled && input.closest("label").checkVisibility();
  return plans.map((plan) => {
    for (const field of fields) for (const card of cards(field)) card.checked = card.value === plan[field];
    form.elements.reminder.checked = plan.reminder === "yes";
    form.elements.controls.value = plan.controls === "some" ? "9" : "";
    form.dispatchEvent(new Event("change"));
    const now = Object.fromEntries(fields.map((field) => [field, cards(field).find((card) => card.checked).value]));
    now.reminder = now.method === "A-not-A" && form.elements.reminder.checked ? "yes" : "no";
    now.controls = Number(form.elements.controls.value) > 0 ? "some" : "none";
    const offered = Object.fromEntries(fields.map((field) => [field,
      cards(field).filter(shown).map((card) => card.value)]));
    const asks = Object.fromEntries(["reminder", "controls"].map((field) => [field, form.elements[field].checkVisibility()]));
    return { now, offered, asks };
  });
}"""  # noqa: E501


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


def test_every_plan_put_to_the_page_becomes_one_that_holds_of_cards_that_go_together(
    phone: Page,
) -> None:
    phone.goto("/blind/new")
    phone.get_by_text("Choose otherwise").tap()
    every = [dict(zip(WORDS, words, strict=True)) for words in itertools.product(*WORDS.values())]
    assert len(every) == 2 * 3 * 8 * 2 * 3 * 3 * 3 * 2
    for plan, made in zip(every, phone.evaluate(MAKES_OF, [CARDS, every]), strict=True):
        now = made["now"]
        for field in FIELDS:
            shut = closed(field, now)
            assert now[field] not in shut, (plan, now)
            if field in CARDS:
                assert made["offered"][field] == [
                    word for word in phone_order(phone, field) if word not in shut
                ], (plan, field)
        assert made["asks"]["reminder"] == (
            now["method"] == "A-not-A" and "yes" not in closed("reminder", now)
        )
        assert made["asks"]["controls"] == ("some" not in closed("controls", now)), plan


def phone_order(page: Page, field: str) -> list[str]:
    """The words of a field as its cards stand."""
    if field not in _ORDERS:
        _ORDERS[field] = page.locator(f"input[name={field}]").evaluate_all(
            "cards => cards.map((card) => card.value)"
        )
    return _ORDERS[field]


_ORDERS: dict[str, list[str]] = {}


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
