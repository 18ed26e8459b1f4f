"""The page after the reveal, as one goes on with the next trial, or stays to say what it was."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from app.models import Trial, TrialBrew
from tests.support.accessible import grave
from tests.support.blind import ANSWERED, CLAIMED, SEEN, SERVED, rows
from tests.support.factories import Make

pytestmark = pytest.mark.browser


@pytest.fixture
def trial(make: Make) -> Trial:
    """A triangle of two logged brews, answered and shown."""
    a, b = make.brew(), make.brew(dose_g=15.2)
    _, (trial,) = rows(make, [CLAIMED | SERVED | ANSWERED | SEEN | {"cups": "ABB"}])
    for cup, brew in (("A", a), ("B", b)):
        make.save(TrialBrew(trial_id=trial.id, brew_id=brew.id, cup=cup))
    return trial


def focused(page: Page) -> str:
    text: str = page.evaluate("document.activeElement.textContent.trim()")
    return text


def test_the_next_trial_is_the_first_thing_by_thumb_and_by_keyboard(
    phone: Page, trial: Trial
) -> None:
    phone.goto(f"/blind/trials/{trial.id}")
    on = phone.get_by_role("button", name="Next trial")
    expect(on).to_be_in_viewport()
    box = on.bounding_box()
    assert box is not None
    assert box["height"] >= 44
    buttons = (
        phone.get_by_role("main")
        .get_by_role("button")
        .or_(phone.get_by_role("main").get_by_role("link"))
    )
    expect(buttons.first).to_have_text("Next trial")
    phone.keyboard.press("Tab")
    assert focused(phone) == "Skip to the page"
    phone.keyboard.press("Enter")
    phone.keyboard.press("Tab")
    assert focused(phone) == "Next trial"
    phone.keyboard.press("Enter")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Trial 2")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_what_one_thinks_now_and_how_both_taste_now_is_kept_with_the_trial(
    phone: Page, trial: Trial, scheme: str
) -> None:
    phone.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    page = f"/blind/trials/{trial.id}"
    phone.goto(page)
    assert grave(phone) == []
    phone.get_by_role("radio", name="B third use").check()
    phone.get_by_label("What did you taste?").fill("the second was rounder")
    phone.get_by_role("button", name="Note it").click()
    card = phone.get_by_role("region", name="Now that you know")
    expect(card).to_contain_text("the second was rounder")
    card.get_by_role("link", name="Taste both again, now knowing").click()
    assert grave(phone) == []
    phone.locator('[id="a-liking-5"]').check(force=True)
    phone.locator('[id="b-liking-8"]').check(force=True)
    phone.get_by_role("button", name="Save both tastings").click()
    phone.wait_for_url(f"**{page}")
    expect(card.get_by_role("listitem")).to_have_count(2)
    assert grave(phone) == []
    assert phone.evaluate("document.documentElement.scrollWidth") == 390
    phone.set_viewport_size({"width": 320, "height": 640})
    assert phone.evaluate("document.documentElement.scrollWidth") == 320
