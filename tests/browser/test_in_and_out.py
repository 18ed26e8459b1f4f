"""The journal goes out, another one takes it in after a look at it, and gives it back."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from app.database import Database
from app.models import Base
from tests.support.accessible import grave
from tests.support.factories import Make

pytestmark = pytest.mark.browser


def test_out_in_and_taken_back_by_thumb(
    phone: Page, make: Make, journal: Database, tmp_path: Path
) -> None:
    make.tasting(make.brew(note="Out of the first journal"))
    phone.goto("/settings/")
    phone.get_by_role("link", name="Take out, bring in").click()
    with phone.expect_download() as going:
        phone.get_by_role("button", name="Take out the journal").click()
    package = tmp_path / going.value.suggested_filename
    going.value.save_as(package)
    with journal.writing() as session:
        for table in reversed(Base.metadata.sorted_tables):
            session.execute(table.delete())
    make.bean(name="Of the other journal")

    phone.goto("/in-and-out/")
    assert grave(phone) == []
    phone.get_by_label("Data package").set_input_files(package)
    phone.get_by_role("button", name="Look at it first").click()
    expect(phone.get_by_role("heading", level=1)).to_have_text("What would come in")
    assert grave(phone) == []
    phone.get_by_role("button", name="Bring it in").click()
    expect(phone.get_by_text("It is in:")).to_be_visible()
    phone.goto("/brews/")
    expect(phone.get_by_role("main")).to_contain_text("Morning Hill")
    phone.goto("/in-and-out/")
    assert grave(phone) == []
    phone.get_by_role("button", name="Take back").click()
    expect(phone.get_by_text("It is taken back")).to_be_visible()
    phone.goto("/brews/")
    expect(phone.get_by_role("main")).not_to_contain_text("Morning Hill")
    phone.goto("/in-and-out/")
    wrong = tmp_path / "notes.zip"
    wrong.write_bytes(b"no zip")
    phone.get_by_label("Data package").set_input_files(wrong)
    phone.get_by_role("button", name="Look at it first").click()
    expect(phone.get_by_role("alert").or_(phone.locator(".error")).first).to_contain_text(
        "not a zip file"
    )
