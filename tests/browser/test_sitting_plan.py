"""The plan of a sitting in a browser: few taps, it fits, and says first what is missing."""

from __future__ import annotations

from pathlib import Path

import pytest
from flask import Flask
from playwright.sync_api import Browser, Page, expect
from sqlalchemy import select
from sqlalchemy.orm import Session

from app import create_app
from app.models import Question, QuestionBlindTest, QuestionSideBySide
from tests.browser.test_every_page import OPENED, in_every_view
from tests.support.accessible import grave
from tests.support.asking import blind_test, pair
from tests.support.browser import switch, visit, window
from tests.support.clock import NOON
from tests.support.demo import demo_in
from tests.support.factories import Make
from tests.support.server import served

pytestmark = pytest.mark.browser


def asked(make: Make, text: str, factors: list[str]) -> Question:
    return make.save(Question(text=text, factors=factors, asked_at=NOON))


def test_two_questions_are_planned_and_saved_in_five_taps(phone: Page, make: Make) -> None:
    stir, soak = asked(make, "Does the stir matter?", ["stirs"]), asked(make, "Longer?", ["steep"])
    for question, b in ((stir, {"stirs": 6}), (soak, {"steep_s": 260})):
        saved = pair(make, "a", **b)
        make.save(QuestionSideBySide(question_id=question.id, side_by_side_id=saved.id))
    test = blind_test(make)
    make.save(QuestionBlindTest(question_id=soak.id, test_id=test.id, tied_at=NOON))
    visit(phone, "/questions/")
    phone.get_by_role("link", name="Plan a sitting").click()  # 1
    phone.get_by_role("checkbox", name="Does the stir matter?").check()  # 2
    phone.get_by_role("checkbox", name="Longer?").check()  # 3
    phone.get_by_role("button", name="Make the plan").click()  # 4
    expect(phone.get_by_text("1 side by side · 1 blind trial · 4 brews")).to_be_visible()
    phone.get_by_role("button", name="Save this sitting").click()  # 5
    phone.wait_for_url("**/sittings/1")


def test_what_is_missing_is_said_first_and_one_field_sets_it(phone: Page, make: Make) -> None:
    make.brew(stirs=2, steep_s=130)
    question = asked(make, "Does the stir matter?", ["stirs"])
    visit(phone, f"/sittings/new?q={question.id}")
    expect(phone.get_by_role("heading", name="Missing")).to_be_visible()
    phone.get_by_label("B: Stirs").fill("7")
    phone.get_by_label("B: Stirs").press("Enter")  # the button that saves
    phone.wait_for_url("**/sittings/1")


def test_a_plan_fits_is_read_out_and_is_legible_in_both_lights(
    browser: Browser, tmp_path: Path, run_folder: Path
) -> None:
    app = create_app(demo_in(tmp_path, run_folder))
    findings: list[str] = []
    with served(app) as url, window(browser, url, OPENED) as (context, ear):
        page = context.new_page()
        for address in ("/sittings/new", plan_of_all(app)):
            visit(page, address)
            page.evaluate("document.querySelectorAll('details').forEach((one) => one.open = true)")
            for scheme in ("light", "dark"):
                switch(page, scheme)
                findings += grave(page)
            findings += in_every_view(page)
        findings += ear.troubles()
    assert not findings, "\n".join(findings)


def plan_of_all(app: Flask) -> str:
    with Session(app.extensions["oddcup_database"].reader) as session:
        ids = session.scalars(select(Question.id).where(Question.state == "open")).all()
    assert ids
    return "/sittings/new?" + "&".join(f"q={one}" for one in ids[:6])
