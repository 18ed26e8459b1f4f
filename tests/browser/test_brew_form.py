"""The brew form by hand: the number pad, the first brew, a recipe chosen, a slip asked about."""

from __future__ import annotations

import re

import pytest
from flask import Flask
from playwright.sync_api import Page, expect
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Brew, Brewer, Grinder
from tests.support.accessible import grave
from tests.support.factories import Make

pytestmark = pytest.mark.browser


def open_row(page: Page, title: str) -> None:
    words = page.get_by_text(title, exact=True)
    page.locator("details.fold > summary").filter(has=words).click()


def last(journal: Database) -> Brew:
    with Session(journal.reader) as session:
        return session.scalars(select(Brew).order_by(Brew.id.desc())).first()  # type: ignore[return-value]


def test_a_time_opens_the_number_pad_and_says_what_it_understood(
    phone: Page, make: Make, journal: Database
) -> None:
    make.brew(steep_s=95, press_s=30)
    phone.goto("/brews/new")
    open_row(phone, "Steep and press")
    steep = phone.get_by_label("Steep", exact=True)
    expect(steep).to_have_attribute("inputmode", "decimal")
    expect(phone.locator("#steep_s-read")).to_have_text("1:35 = 95 s")
    for typed, said in (("2.30", "2:30 = 150 s"), ("2,5", "2:30 = 150 s"), ("150", "2:30 = 150 s")):
        steep.fill(typed)
        steep.blur()
        expect(phone.locator("#steep_s-read")).to_have_text(said)
    expect(phone.get_by_text("2:30 · 0:30", exact=True)).to_be_visible()
    steep.fill("12.5")
    steep.blur()
    expect(phone.locator("#steep_s-read")).to_contain_text("This can be minutes or seconds")
    steep.fill("2.30")
    phone.get_by_role("button", name="Save this brew").tap()
    expect(phone.get_by_text("Brew saved.")).to_be_visible()
    assert last(journal).steep_s == 150


def test_the_first_brew_is_named_with_its_gear_by_keyboard(
    desktop: Page, journal: Database
) -> None:
    desktop.goto("/brews/new")
    expect(desktop.get_by_text(re.compile(r"^Or "))).to_have_count(0)
    desktop.get_by_label("Dose", exact=True).focus()
    desktop.keyboard.type("many")
    desktop.keyboard.press("Enter")
    summary = desktop.locator(".error-summary")
    expect(summary).to_be_focused()
    assert grave(desktop) == []
    for link in summary.get_by_role("link").all():
        link.focus()
        desktop.keyboard.press("Enter")
        target = (link.get_attribute("href") or "").removeprefix("#")
        expect(desktop.locator(f"[id='{target}']")).to_be_focused()
    for label, text in (("Bean", "Ridge"), ("Its name", "Old faithful"), ("Dose", "13.5")):
        desktop.get_by_label(label, exact=True).fill(text)
    desktop.get_by_label("Kind of brewer").select_option("cone")
    open_row(desktop, "Grind")
    desktop.get_by_label("Grinder", exact=True).fill("Hand mill")
    desktop.get_by_label("Brew water", exact=True).fill("215")
    desktop.keyboard.press("Enter")
    expect(desktop.get_by_text("Brew saved.")).to_be_visible()
    with Session(journal.reader) as session:
        assert session.scalars(select(Brewer.name)).all() == ["Old faithful"]
        assert session.scalars(select(Grinder.name)).all() == ["Hand mill"]
    assert last(journal).grind == ""


def test_a_recipe_says_at_once_what_differs_and_fills_it_in_when_tapped(
    phone: Page, make: Make, journal: Database
) -> None:
    make.brew(dose_g=13.0, water_g=210.0, water_temp_c=88.0)
    make.recipe("Long cup", dose_g=16.5, water_g=240.0, steep_s=215)
    phone.goto("/brews/new")
    open_row(phone, "Recipe")
    phone.get_by_label("Recipe", exact=True).select_option("Long cup")
    said = phone.locator("#revision_id-says")
    expect(said).to_contain_text("dose 16.5 g (here 13 g), brew water 240 g (here 210 g)")
    expect(phone.locator("#dose_g")).to_have_value("13")
    assert grave(phone) == []
    said.get_by_role("button", name="Fill it in").tap()
    expect(phone.locator("#dose_g")).to_have_value("16.5")
    expect(phone.locator("#steep_s")).to_have_value("3:35")
    expect(phone.locator("#steep_s-read")).to_have_text("3:35 = 215 s")
    expect(phone.get_by_text("16.5 g · 240 g", exact=True)).to_be_visible()
    expect(phone.locator("#ratio")).to_contain_text("1 : 14.5")
    phone.get_by_role("button", name="Save this brew").tap()
    expect(phone.get_by_text("Brew saved.")).to_be_visible()
    brew = last(journal)
    assert (brew.dose_g, brew.steep_s, brew.water_temp_c) == (16.5, 215, 88.0)


def test_what_the_recipe_said_and_was_not_wanted_is_not_asked_again(
    phone: Page, make: Make, journal: Database
) -> None:
    make.brew(dose_g=13.0)
    make.recipe("Long cup", dose_g=16.5)
    phone.goto("/brews/new")
    open_row(phone, "Recipe")
    phone.get_by_label("Recipe", exact=True).select_option("Long cup")
    expect(phone.locator("#revision_id-says")).to_contain_text("dose 16.5 g")
    phone.get_by_role("button", name="Save this brew").tap()
    expect(phone.get_by_text("Brew saved.")).to_be_visible()
    assert last(journal).dose_g == 13.0


def test_a_slip_of_the_point_is_asked_about_and_mended(
    phone: Page, make: Make, journal: Database
) -> None:
    for _ in range(6):
        make.brew(dose_g=14.5)
    phone.goto("/brews/new")
    open_row(phone, "Dose and water")
    phone.get_by_label("Dose", exact=True).fill("145")
    phone.get_by_role("button", name="Save this brew").tap()
    asked = phone.locator(".error-summary")
    expect(asked).to_contain_text("you usually take 14.5 g in this brewer; is 145 g right?")
    expect(asked).to_be_focused()
    assert grave(phone) == []
    asked.get_by_role("link", name="Mend it").tap()
    dose = phone.get_by_label("Dose", exact=True)
    expect(dose).to_be_focused()
    dose.fill("14.5")
    phone.get_by_role("button", name="Save this brew").tap()
    expect(phone.get_by_text("Brew saved.")).to_be_visible()
    assert last(journal).dose_g == 14.5


def test_two_cups_share_lists_and_a_recipe_fills_both(
    phone: Page, make: Make, journal: Database
) -> None:
    pack = make.pack(name="White round")
    make.brew(dose_g=13.0, water_g=210.0, filters=[make.filter(pack)])
    make.filter(pack)
    make.recipe("Long cup", dose_g=16.5, water_g=240.0)
    phone.goto("/brews/two/new")
    open_row(phone, "Brewer")
    phone.get_by_label("A: Recipe").select_option("Long cup")
    expect(phone.locator("#b-revision_id option:checked")).to_have_text("Long cup")
    phone.locator("#a-revision_id-says").get_by_role("button", name="Fill it in").tap()
    expect(phone.locator("#b-dose_g")).to_have_value("16.5")
    for list_of in ("filter_1", "filter_2", "filter_3"):
        same = [phone.locator(f"#{cup}-{list_of} option").count() for cup in "ab"]
        assert same[0] == same[1] > 2
    open_row(phone, "Steep and press")
    phone.get_by_label("A: Steep").fill("2.30")
    phone.get_by_label("A: Steep").blur()
    expect(phone.locator("#b-steep_s-read")).to_have_text("2:30 = 150 s")
    expect(phone.get_by_text("2:30", exact=True)).to_be_visible()
    open_row(phone, "Dose and water")
    phone.locator("#b-dose_g").fill("18")
    phone.get_by_role("button", name="Save both brews").tap()
    expect(phone.get_by_text("Both brews saved.")).to_be_visible()
    with Session(journal.reader) as session:
        doses = session.scalars(select(Brew.dose_g).order_by(Brew.id)).all()
    assert doses == [13.0, 16.5, 18.0]


def test_without_script_every_list_can_be_had(
    phone: Page, make: Make, address: str, app: Flask
) -> None:
    pack = make.pack(name="White round")
    make.brew(filters=[make.filter(pack)])
    make.recipe("Long cup")
    browser = phone.context.browser
    assert browser
    context = browser.new_context(base_url=address, java_script_enabled=False)
    page = context.new_page()
    page.goto("/brews/two/new?like=1")
    assert page.locator("#b-revision_id option").count() == 1
    page.get_by_role("link", name="open all of them").click()
    assert page.locator("#b-revision_id option").count() == 2
    assert page.locator("#b-filter_3 option").count() > 2
    context.close()


def test_both_habits_and_the_first_steps_are_a_tap_away(phone: Page, make: Make) -> None:
    make.brew(recipe=make.recipe("Short"), dose_g=16.5, water_g=205.0)
    make.brew(recipe=make.recipe("Long"), dose_g=13.0)
    phone.goto("/")
    assert grave(phone) == []
    phone.get_by_role("button", name="Not needed").tap()
    expect(phone.get_by_text("The first steps are put away.")).to_be_visible()
    expect(phone.get_by_text("Good to have, now or later")).to_have_count(0)
    phone.get_by_role("link", name="Or 16.5 g in 205 g, Short").tap()
    phone.get_by_role("button", name="Save this brew").tap()
    expect(phone.get_by_text("Brew saved.")).to_be_visible()
    expect(phone.get_by_role("link", name="Short")).to_be_visible()
