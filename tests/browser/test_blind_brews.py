"""From the reveal of a trial to its brews in the journal, on a phone."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest
from flask import Flask
from playwright.sync_api import Page, expect
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import TrialBrew
from tests.support.blind import rows
from tests.support.factories import Make

pytestmark = pytest.mark.browser


def test_both_brews_of_a_trial_are_four_taps_from_its_reveal(
    phone: Page, make: Make, journal: Database, app: Flask
) -> None:
    at = datetime.now(UTC)
    app.config["CLOCK"] = lambda: at
    paper = make.filter()
    make.brew(filters=[paper], brewed_at=at - timedelta(days=1))
    named = {
        "a_filter_id": paper.id, "a_filter_use": 2, "brewing": "fresh pair each trial",
        "claim": "these ways of brewing", "method": "paired", "attribute": "body", "more": "A",
    }  # fmt: skip
    test, _ = rows(make, [], pouring="solo", **named)
    phone.goto(f"/blind/{test.id}")
    for step in ("Next trial", "Poured and turned: taste"):
        phone.get_by_role("button", name=step).first.tap()
    phone.get_by_role("radio").first.tap()
    phone.get_by_role("button", name="I am sure").tap()
    phone.get_by_role("button", name="2", exact=True).tap()
    expect(phone.get_by_role("heading", name="Brews it was poured from")).to_be_visible()
    reveal = phone.url
    taps = 0
    for cup in ("A", "B"):
        phone.get_by_role("link", name=f"Log {cup}", exact=True).tap()
        expect(phone.get_by_text(f"Cup {cup} of a blind trial")).to_be_visible()
        phone.get_by_role("button", name="Save this brew").tap()
        expect(phone.get_by_text("Brew saved.")).to_be_visible()
        assert phone.url == reveal
        taps += 2
    assert taps == 4
    expect(phone.get_by_text("Not in the journal yet")).to_have_count(0)
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    with Session(journal.reader) as session:
        assert session.scalars(select(TrialBrew.cup).order_by(TrialBrew.cup)).all() == ["A", "B"]
    phone.get_by_role("button", name="Untie B").tap()
    phone.get_by_text("It is logged already").tap()
    phone.get_by_role("button", name="It was B").tap()
    expect(phone.get_by_text("Not in the journal yet")).to_have_count(0)
    expect(phone.get_by_role("link", name=re.compile("Morning Hill"))).to_have_count(2)
