"""The narrowest phones: forms with every row open still fit, and every field has its name."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from tests.support.accessible import grave
from tests.support.factories import Make

pytestmark = pytest.mark.browser
FORMS = (
    "/brews/new", "/brews/two/new", "/brews/1/taste", "/taste/1/2", "/along/like/1",
    "/along/?a-dose_g=14.5&a-water_g=215&a-steep_s=95&b-dose_g=16&b-water_g=215",
)  # fmt: skip


@pytest.mark.parametrize("form", FORMS)
def test_a_form_with_every_row_open_fits(phone: Page, address: str, make: Make, form: str) -> None:
    make.taster(name="Juniper")
    for _ in range(2):
        make.brew(filters=[make.filter()], steep_s=90)
    phone.set_viewport_size({"width": 320, "height": 640})
    phone.goto(address + form)
    phone.evaluate("for (const row of document.querySelectorAll('details')) row.open = true")
    assert phone.evaluate("document.documentElement.scrollWidth") == 320
    assert grave(phone) == []
