"""A scale nobody answered says so, and looks unlike one that was set to the middle."""

from __future__ import annotations

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.support.accessible import grave
from tests.support.factories import Make

pytestmark = pytest.mark.browser
# A form, the row that holds the scale (or none), the scale, and its middle step as it is read out.
FORMS = (
    ("/brews/new", "Press", "press_effort", "3"),
    ("/brews/1/taste", "", "liking", "5, neither like nor dislike"),
    ("/brews/1/taste", "", "jar_body", "just right"),
    ("/taste/1/2", "", "a-liking", "5, neither like nor dislike"),
    ("/taste/1/2", "", "b-jar_body", "just right"),
)
LOOKS = """row => {
    const of = (part) => getComputedStyle(part), labels = [...row.querySelectorAll('label')];
    return [of(row).borderTopStyle, ...labels.map((label) => of(label).backgroundColor)];
}"""
MEDIA = ({"color_scheme": "light"}, {"color_scheme": "dark"}, {"forced_colors": "active"})


@pytest.fixture
def opened(phone: Page, address: str, make: Make) -> Page:
    make.taster(name="Juniper")
    for _ in range(2):
        make.brew(filters=[make.filter()], steep_s=90)
    return phone


def scale(page: Page, name: str) -> Locator:
    """The group of radio buttons with this name."""
    return page.locator(f'[id="{name}"]')


def looks(page: Page, steps: Locator) -> list[list[str]]:
    """The row's border and each step's ground: light, dark, and in the system's own colours."""
    found = []
    for media in MEDIA:
        page.emulate_media(**media)  # type: ignore[arg-type]
        found.append(steps.evaluate(LOOKS))
    page.emulate_media(color_scheme="light", forced_colors="none")
    return found


@pytest.mark.parametrize(("form", "row", "name", "middle"), FORMS)
def test_an_unanswered_scale_looks_and_reads_unlike_the_middle(
    opened: Page, form: str, row: str, name: str, middle: str
) -> None:
    opened.goto(form)
    opened.evaluate("for (const row of document.querySelectorAll('details')) row.open = true")
    group = scale(opened, name)
    resting = group.get_by_role("radio", name="not answered")
    chosen = group.get_by_role("radio", name=middle, exact=True)
    says = group.locator("xpath=ancestor-or-self::fieldset").locator("legend .resting")
    # Beside the name of two cups' scale: which of them is not answered, or neither.
    left = {"a": "B not answered", "b": "A not answered"}.get(name.partition("-")[0], "")
    steps = group.locator(".scale-row")
    expect(resting).to_be_checked()
    expect(says).to_have_text("not answered", use_inner_text=True)
    rested = looks(opened, steps)
    assert grave(opened) == []
    # By keyboard alone: into the group, where the unanswered state is, and to the middle.
    resting.focus()
    for _ in range(9):
        opened.keyboard.press("ArrowLeft")
        if chosen.is_checked():
            break
    expect(chosen).to_be_checked()
    expect(chosen).to_be_focused()
    expect(says).to_be_visible(visible=bool(left))
    assert not left or says.inner_text() == left
    for before, after in zip(rested, looks(opened, steps), strict=True):
        assert (before[0], after[0]) == ("dashed", "solid")
        assert after[1:] != before[1:]
    assert grave(opened) == []
    # It can be taken back to unanswered.
    resting.check(force=True)
    expect(says).to_have_text("not answered", use_inner_text=True)
