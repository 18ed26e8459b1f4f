"""An experiment of ten mornings on a phone, from its plan to the contour; one morning is missed."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta

import pytest
from playwright.sync_api import Page, expect
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import ExperimentRun
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.thumb import Thumb, clean

pytestmark = pytest.mark.browser

PLANNED_TAPS, BREWED_TAPS, TASTED_TAPS = 2, 2, 3
MISSED = 4  # no brew on this morning


def test_ten_mornings_from_the_plan_to_the_contour(
    phone: Page, journal: Database, make: Make, freeze: Callable[..., None]
) -> None:
    bag = make.bag(make.bean(name="Fig"))
    base = make.brew(bag, steep_s=95, water_temp_c=92.0)
    make.tasting(base, liking=6)
    thumb = Thumb()
    phone.goto(f"/bags/{bag.id}")
    thumb.tap(phone.get_by_role("link", name="Plan an experiment"))
    expect(phone.get_by_text("10 mornings: each of 4 corners")).to_be_visible()
    clean(phone)
    thumb.tap(phone.get_by_role("button", name="Save and draw the order"))
    expect(phone.get_by_text("The experiment is planned")).to_be_visible()
    assert thumb.taps == PLANNED_TAPS
    clean(phone)
    with Session(journal.reader) as session:
        runs = list(session.scalars(select(ExperimentRun).order_by(ExperimentRun.place)))
    for run in runs:
        freeze(NOON + timedelta(days=run.place + (run.place >= MISSED)))
        _morning(phone, run)
    expect(phone.get_by_text("10 of 10 brews count")).to_be_visible()
    expect(
        phone.get_by_text(re.compile("From steep 1:20 to 1:50 the liking rises"))
    ).to_be_visible()
    expect(phone.locator("#contour > svg")).to_be_visible()
    clean(phone)
    phone.get_by_role("link", name="Brew it beside the middle").tap()
    expect(phone.get_by_role("button", name="Save both brews")).to_be_visible()


def _morning(phone: Page, run: ExperimentRun) -> None:
    """Two taps to log the brew that waits on Today, three to score it where it is shown next."""
    thumb = Thumb()
    phone.goto("/")
    expect(phone.get_by_text(f"brew {run.place} of 10")).to_be_visible()
    if run.place == 1:
        clean(phone)
    thumb.tap(phone.get_by_role("link", name="Brew it"))
    thumb.tap(phone.get_by_role("button", name="Save this brew"))
    assert thumb.taps == BREWED_TAPS
    thumb.tap(phone.get_by_role("link", name="Taste it"))
    liking = 5 + 3 * (run.levels[1] > 0) + (run.levels[1] == 0)
    thumb.tap(phone.locator(f"label:has(input[name='liking'][value='{liking}'])"))
    thumb.tap(phone.get_by_role("button", name=re.compile("^Save")).first)
    assert thumb.taps == BREWED_TAPS + TASTED_TAPS
    expect(phone.get_by_text("Tasting saved")).to_be_visible()
    phone.goto(f"/experiments/{run.experiment_id}")
