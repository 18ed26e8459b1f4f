"""Adding and taking out steps of a recipe in the browser."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from app.database import Database
from tests.support.factories import Make
from tests.support.recipes import POURS, revisions

pytestmark = pytest.mark.browser


def test_steps_are_added_and_taken_out(phone: Page, make: Make, journal: Database) -> None:
    recipe = make.recipe(steps=[*POURS, {"kind": "press"}])
    phone.goto(f"/recipes/{recipe.id}/revise")
    folds = phone.locator("#steps summary")
    assert folds.all_inner_texts() == [
        "Step 1\nbloom 40\xa0g at 0:00", "Step 2\npour 180\xa0g at 0:30", "Step 3\npress",
    ]  # fmt: skip

    folds.nth(1).click()
    phone.get_by_role("button", name="Take this step out").click()
    phone.get_by_role("button", name="Add a step").click()
    row = phone.locator("#steps [data-step]").last
    row.get_by_label("What").select_option("dilute")
    row.get_by_label("Water or ice").fill("50")
    assert folds.last.inner_text() == "A further step\ndilute 50\xa0g"
    assert row.get_by_label("Place").input_value() == "4"
    row.get_by_label("Place").fill("1.5")
    phone.get_by_role("button", name="Save").click()
    phone.wait_for_url(f"**/recipes/{recipe.id}")

    (saved,) = revisions(journal)
    assert [(step.kind, step.grams) for step in saved.steps] == [
        ("bloom", 40), ("dilute", 50), ("press", None),
    ]  # fmt: skip


def test_no_more_rows_than_the_form_takes(phone: Page, make: Make) -> None:
    recipe = make.recipe(steps=[{"kind": "stir"}] * 39)
    phone.goto(f"/recipes/{recipe.id}/revise")
    add = phone.get_by_role("button", name="Add a step")
    add.click()
    assert phone.locator("#steps [data-step]").count() == 40
    assert add.is_disabled()
