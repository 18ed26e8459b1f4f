"""Worksheets on a phone: type, see the answer at once, keep it, brew it, find it in the brew."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

import pytest
from playwright.sync_api import Browser, Page, expect
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Brew, RecipeRevision, Settings
from tests.support.browser import PATIENCE_MS, PHONE, Ear
from tests.support.clock import A_DAY, NOON
from tests.support.factories import Make

pytestmark = pytest.mark.browser


class Case(NamedTuple):
    """What is typed into which field, what the line over the bar then says, what is brewed."""

    name: str
    field: str
    typed: str
    said: str
    dose_g: float
    water_g: float
    added_g: float


CASES = (
    Case("scale", "to_cups", "3", "33 g in 600 g", 33, 600, 0),
    Case("share", "capacity_g", "240", r"22 g in 240 g \+ 160 g bypass", 22, 240, 160),
    Case("dilute", "added_g", "100", r"11 g in 200 g \+ 100 g bypass", 11, 200, 100),
    Case("ice", "ice_g", "100", r"\d+ °C, [\d.]+ % TDS", 11, 200, 100),
    Case("strong", "dose_g", "12", r"A 1\.13 %, B 1\.00 % TDS", 12, 200, 0),
    Case("time", "other_s", "5:00", "after 5:00", 11, 200, 0),
)

# Every worksheet with fields; what is typed changes the answer.
TYPED = (
    *((case.name, case.field, case.typed) for case in CASES),
    ("strength", "wanted_pct", "1,05"),
    ("caffeine", "share_1", "50"),
    ("paper", "uses", "8"),
    ("water", "target", "75"),
)
LINES = "#said, #answer h2, #answer p, #answer td, #answer dd, #answer li"


@pytest.fixture
def household(make: Make) -> None:
    """Caffeine is wanted, and one brew was made today."""
    make.save(
        Settings(
            locale="en", currency="EUR", mass_unit="g", volume_unit="ml", temp_unit="°C",
            kettle_efficiency_pct=85.0, caffeine=True, caffeine_limit="adult",
        )
    )  # fmt: skip
    brewer = make.brewer(name="Blue press")
    make.brew(brewer=brewer, brewed_at=NOON - A_DAY / 8, steep_s=120, dose_g=11.0, water_g=200.0)


def newest_brew(journal: Database) -> Brew:
    with Session(journal.reader) as session:
        return session.scalars(select(Brew).order_by(Brew.id.desc()).limit(1)).one()


def newest_recipe(journal: Database) -> RecipeRevision:
    newest = select(RecipeRevision).order_by(RecipeRevision.id.desc()).limit(1)
    with Session(journal.reader) as session:
        return session.scalars(newest).one()


def save_the_brew(phone: Page) -> None:
    phone.get_by_role("button", name=re.compile("Save this brew")).tap()
    expect(phone.get_by_text("Brew saved.")).to_be_visible()


@pytest.mark.usefixtures("household")
@pytest.mark.parametrize("case", CASES, ids=[case.name for case in CASES])
def test_type_see_keep_brew_and_find(phone: Page, journal: Database, case: Case) -> None:
    phone.goto(f"/worksheets/{case.name}")
    phone.evaluate("window.stillHere = true")
    phone.locator(f"#{case.field}").fill(case.typed)
    expect(phone.locator("#said")).to_have_text(re.compile(case.said.replace(" ", r"\s")))
    assert phone.evaluate("window.stillHere"), "the page was not loaded anew"
    phone.wait_for_function("field => new URL(location).searchParams.has(field)", arg=case.field)
    asked = phone.url

    phone.get_by_role("link", name=re.compile(r"^Brew (this|A)$")).tap()
    save_the_brew(phone)
    brew = newest_brew(journal)
    assert (brew.dose_g, brew.water_g, brew.bypass_g + brew.ice_g) == (
        case.dose_g, case.water_g, case.added_g,
    )  # fmt: skip
    shown = phone.locator("main")
    expect(shown).to_contain_text(re.compile(rf"Dose\s*{case.dose_g:g}\sg"))
    expect(shown).to_contain_text(re.compile(rf"Brew water\s*{case.water_g:g}\sg"))

    phone.goto(asked)
    phone.get_by_label("Name of the new recipe").first.fill("From a sum")
    phone.get_by_role("button", name="Keep as a recipe").first.tap()
    expect(phone.get_by_text("Saved: From a sum.")).to_be_visible()
    kept = newest_recipe(journal)
    assert (kept.dose_g, kept.water_g, kept.bypass_g + kept.ice_g) == (
        case.dose_g, case.water_g, case.added_g,
    )  # fmt: skip


@pytest.mark.usefixtures("household")
def test_a_wanted_strength_is_kept_and_brewed_as_answered(phone: Page, journal: Database) -> None:
    phone.goto("/worksheets/strength")
    before = phone.locator("#said").inner_text()
    phone.locator("#wanted_pct").fill("1.0")
    expect(phone.locator("#said")).not_to_have_text(before)
    said = phone.locator("#said").inner_text()
    phone.get_by_role("link", name="Brew this").tap()
    save_the_brew(phone)
    brew = newest_brew(journal)
    assert said == f"{brew.dose_g:g}\xa0g in {brew.water_g:g}\xa0g"


@pytest.mark.usefixtures("household")
def test_a_recipe_becomes_its_next_revision_in_two_taps(
    phone: Page, make: Make, journal: Database
) -> None:
    steps = [{"kind": "bloom", "grams": 40.0}, {"kind": "pour", "grams": 160.0}]
    recipe = make.recipe("House cup", dose_g=11.0, water_g=200.0, steps=steps)
    make.brew(recipe=recipe)
    phone.goto("/worksheets/scale")
    phone.get_by_role("link", name=re.compile("start from another")).tap()
    phone.get_by_role("link", name=re.compile("House cup")).tap()
    expect(phone.locator("#said")).to_have_text("22 g in 400 g")
    phone.get_by_role("button", name="Keep as revision 2 of House cup").tap()
    expect(phone.get_by_text("Saved: House cup, revision 2.")).to_be_visible()
    assert newest_recipe(journal).dose_g == 22
    expect(phone.locator("main")).to_contain_text("320 g")


@pytest.mark.usefixtures("household")
def test_a_slip_is_told_beside_its_field_while_typing_and_goes_again(phone: Page) -> None:
    phone.goto("/worksheets/ice")
    freezer = phone.locator("#ice_c")
    freezer.fill("5")
    expect(phone.locator("#ice_c-error")).to_have_text("Please stay between -40 and 0 °C.")
    expect(freezer).to_have_attribute("aria-invalid", "true")
    expect(phone.locator("#said")).to_have_text("No answer yet.")
    freezer.fill("-5")
    expect(phone.locator("#ice_c-error")).to_have_count(0)
    expect(freezer).not_to_have_attribute("aria-invalid", "true")
    expect(phone.locator("#said")).to_have_text(re.compile("% TDS"))


@pytest.mark.usefixtures("household")
@pytest.mark.parametrize(
    ("name", "chart", "field", "typed"),
    [("ice", "ice-time", "ice_g", "400"), ("time", "steep-time", "grind", "fine")],
)
def test_the_chart_follows_what_is_typed(
    phone: Page, name: str, chart: str, field: str, typed: str
) -> None:
    phone.goto(f"/worksheets/{name}", wait_until="networkidle")
    picture = phone.locator(f"#{chart} > .still")
    pictured = picture.inner_html()
    phone.get_by_role("button", name="Live chart").tap()
    line = phone.locator(f"#{chart} .scatterlayer path.js-line").last
    expect(line).to_be_visible()
    before = line.get_attribute("d")
    if field == "grind":
        phone.locator("#grind").select_option(typed)
    else:
        phone.locator(f"#{field}").fill(typed)
    expect(line).not_to_have_attribute("d", before or "")
    expect(phone.locator(f"#{chart} .main-svg").first).to_be_visible()
    expect(phone.get_by_role("button", name="Live chart")).to_have_attribute("aria-pressed", "true")
    assert phone.locator(f"#{chart}").count() == 1
    assert picture.inner_html() != pictured


@pytest.mark.usefixtures("household")
def test_quick_typing_ends_with_the_last_answer(phone: Page) -> None:
    phone.goto("/worksheets/scale")
    phone.locator("#to_cups").fill("")
    phone.locator("#to_cups").press_sequentially("12.5", delay=130)  # each key is asked about
    expect(phone.locator("#said")).to_have_text("137.5 g in 2500 g")
    phone.wait_for_timeout(500)
    expect(phone.locator("#said")).to_have_text("137.5 g in 2500 g")
    phone.reload()
    expect(phone.locator("#said")).to_have_text("137.5 g in 2500 g")


@pytest.fixture
def scriptless(browser: Browser, address: str) -> Iterator[Page]:
    """A phone with JavaScript off."""
    context = browser.new_context(
        base_url=address,
        viewport={"width": PHONE["width"], "height": PHONE["height"]},
        java_script_enabled=False,
        has_touch=True,
    )
    context.set_default_timeout(PATIENCE_MS)
    yield context.new_page()
    context.close()


def answered(sheet: Page) -> list[str]:
    """Every line of the answer, folded away or not, but for what only a script draws."""
    return [" ".join(line.split()) for line in sheet.locator(LINES).all_text_contents()]


@pytest.mark.usefixtures("household")
@pytest.mark.parametrize(("name", "field", "typed"), TYPED, ids=[name for name, _, _ in TYPED])
def test_without_javascript_the_button_gives_the_same_answer(
    phone: Page, scriptless: Page, name: str, field: str, typed: str
) -> None:
    phone.goto(f"/worksheets/{name}")
    before = answered(phone)
    phone.locator(f"#{field}").fill(typed)
    phone.wait_for_function("field => new URL(location).searchParams.has(field)", arg=field)
    typed_into = answered(phone)
    assert typed_into != before

    scriptless.goto(f"/worksheets/{name}")
    scriptless.locator(f"#{field}").fill(typed)
    scriptless.get_by_role("button", name="Work it out").tap()
    expect(scriptless.locator(f"#{field}")).to_have_value(typed)
    assert answered(scriptless) == typed_into


def test_without_javascript_what_was_learned_stands_there_too(
    phone: Page, scriptless: Page, make: Make
) -> None:
    brewer = make.brewer()
    for tds_pct in (1.3, 1.35, 1.4):
        make.brew(brewer=brewer, dose_g=15.0, water_g=240.0, steep_s=240, tds_pct=tds_pct)
    shown = []
    for sheet in (phone, scriptless):
        sheet.goto("/worksheets/learned")
        shown.append(sheet.locator("main td, main p").all_text_contents())
    assert shown[0] == shown[1]
    assert len(shown[0]) > 20


@pytest.mark.usefixtures("household")
def test_without_javascript_a_slip_stands_beside_its_field(scriptless: Page) -> None:
    scriptless.goto("/worksheets/water")
    scriptless.locator("#target").fill("soft")
    scriptless.get_by_role("button", name="Work it out").tap()
    expect(scriptless.locator("#target-error")).to_contain_text("Please write a number")
    expect(scriptless.locator("#target")).to_have_value("soft")


def test_a_server_that_is_gone_is_said(phone: Page, ears: list[Ear]) -> None:
    ears[0].expect("worksheets/scale")
    phone.goto("/worksheets/scale")
    phone.route("**/worksheets/scale?*", lambda route: route.abort())
    phone.locator("#to_cups").fill("4")
    expect(phone.locator("#said")).to_have_text("No answer: is Oddcup still running?")
