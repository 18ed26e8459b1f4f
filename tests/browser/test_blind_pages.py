"""Every stage of a trial, and tests that stand in every way: quiet, accessible, fitting."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import Browser

from tests.support.accessible import grave
from tests.support.blind import ANSWERED, CLAIMED, SEEN, SERVED, rows
from tests.support.browser import DESKTOP, PHONE, visit, window
from tests.support.clock import NOON
from tests.support.factories import Make

pytestmark = pytest.mark.browser
DONE = CLAIMED | SERVED | ANSWERED
SOLO = SERVED | ANSWERED | {"codes": ""}
PANEL = {
    "balanced": True, "several_tasters": True, "rule": "fixed number", "fixed_trials": 6,
}  # fmt: skip
LONG = "paper rinsed hot, dried overnight on the rack and folded twice, on its seventeenth use"


def _stages(make: Make) -> list[str]:
    """The page of one trial at each of its stages."""
    solo = {"pouring": "solo"}
    stages: list[tuple[dict[str, Any], dict[str, Any]]] = [
        ({}, {}),
        ({"pouring": "coded"}, CLAIMED),
        ({}, CLAIMED | SERVED),
        ({"method": "tetrad"}, CLAIMED | SERVED | {"cups": "ABBA"}),
        ({"method": "duo-trio"}, CLAIMED | SERVED),
        ({}, DONE),
        (PANEL, DONE),
        ({}, DONE | SEEN),
        ({"control_in": 3, "brewing": "fresh pair each trial"}, DONE | SEEN | {"is_control": True}),
        ({}, CLAIMED | {"voided_at": NOON, "void_reason": "spilled"}),
        (solo, {"codes": ""}),
        (solo, SERVED | {"codes": ""}),
        (solo, SOLO),
        (solo | {"method": "preference"}, SOLO | {"cups": "AB", "answer": 0, "sure": None}),
        (solo, SOLO | SEEN | {"lifted": "2"}),
    ]
    return [f"/blind/trials/{rows(make, [given], **plan)[1][0].id}" for plan, given in stages]


def _tests(make: Make) -> list[str]:
    """The page of tests under each rule, with long words, and of one that was given up."""
    three = [DONE | SEEN | {"cups": "ABA", "answer": place} for place in (2, 1, 2)]
    liked = [DONE | SEEN | {"cups": "AB", "answer": at, "sure": None} for at in (1, 2, 0)]
    plans: list[tuple[list[dict[str, Any]], dict[str, Any]]] = [
        (three, {"a_words": LONG, "b_words": LONG[::-1], "title": LONG}),
        (three, {"rule": "fixed number", "fixed_trials": 18}),
        (three, {"rule": "step by step", "alpha": 0.05, "beta": 0.1}),
        (three, {"ended": "stopped", "stopped_at": NOON, "stopped_why": "no more beans"}),
        (liked, {"method": "preference"}),
        (three[:2], PANEL),
        ([{"cups": "ABB"}], {"several_tasters": True, "title": LONG}),
        ([], {"method": "paired", "attribute": "body", "more": "A"}),
    ]
    found = [f"/blind/{rows(make, trials, **plan)[0].id}" for trials, plan in plans]
    return [
        *found,
        f"{found[-2]}/pour",
        f"{found[0]}/edit",
        "/blind/",
        f"/blind/new?like={found[-1][7:]}",
    ]


@pytest.mark.parametrize(("size", "scheme"), [(PHONE, "dark"), (DESKTOP, "light")])
def test_pages_are_quiet_fit_and_are_accessible(
    browser: Browser, address: str, make: Make, size: dict[str, int], scheme: str
) -> None:
    findings = []
    addresses = [*_stages(make), *_tests(make)]
    addresses.append(f"{addresses[0]}/pour")
    with window(browser, address, size, scheme) as (context, ear):
        page = context.new_page()
        for path in addresses:
            visit(page, path)
            findings += [f"{path}: {line}" for line in grave(page)]
            if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
                findings.append(f"{path}: wider than the window")
        everybody = next(path for path in addresses if re.fullmatch(r"/blind/\d+/pour", path))
        for path, says in ((addresses[0] + "/pour", "do not taste"), (everybody, "taste none")):
            page.goto(path)
            page.get_by_role("button", name=f"I pour, and {says}").click()
            page.get_by_text("At the table").wait_for()
            findings += [f"serving card: {line}" for line in grave(page)]
        findings += ear.troubles()
    assert not findings, "\n".join(findings)
