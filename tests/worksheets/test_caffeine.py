"""Caffeine through the day: off unless asked for, ranges, limits, cautions, shares of a cup."""

from __future__ import annotations

import re
from typing import Any

import pytest
from flask.testing import FlaskClient

from app.models import Settings
from tests.support import page
from tests.support.factories import Make
from tests.support.worksheets import A_DAY_S

TODAY = "2026-09-15"
STEEPED = {"dose_g": 15.0, "water_g": 250.0, "steep_s": 86400}
ADDRESS = "/worksheets/caffeine"


def switch_on(make: Make, limit: str = "adult") -> None:
    make.save(
        Settings(
            locale="en", currency="EUR", mass_unit="g", volume_unit="ml", temp_unit="°C",
            kettle_efficiency_pct=85.0, caffeine=True, caffeine_limit=limit,
        )
    )  # fmt: skip


def ranges(client: FlaskClient, address: str = ADDRESS) -> dict[str, tuple[float, ...]]:
    """(value, low, high) of what was drunk today and what is left now."""
    shown = page.text(client.get(address).text)
    found = {}
    for words in ("drunk today", "left now"):
        match = re.search(rf"about (\d+) mg \((\d+)–(\d+)\) {words}", shown)
        assert match, shown
        found[words] = tuple(map(float, match.groups()))
    return found


def by_hand(dose: float, content: float, dissolved: float, held: float) -> float:
    """mg = 1000 D c f times the share of the liquid that leaves the grounds (Liang 2021)."""
    whole = 250 / 15 + 0.215
    return 1000 * dose * content * dissolved * (whole - held) / whole


def test_off_by_default_and_nothing_else_is_shown(client: FlaskClient, make: Make) -> None:
    make.brew(brewed_at=f"{TODAY}T07:00", **STEEPED)
    shown = page.text(client.get(ADDRESS).text)
    assert "Switched off" in shown
    assert "settings" in shown
    assert "mg" not in shown.split("Worksheets")[-1]
    strong = page.text(client.get("/worksheets/strong").text)
    assert "caffeine a cup" not in strong


def test_todays_cups_and_their_range(client: FlaskClient, make: Make) -> None:
    """Arabica 1.0 to 1.3 %, 90 to 100 % dissolved: from memory; held 2.0 (1.5 to 2.5) g/g."""
    switch_on(make)
    make.brew(brewed_at=f"{TODAY}T07:00", **STEEPED)
    make.brew(brewed_at=f"{TODAY}T12:00", **STEEPED)
    value, low, high = ranges(client)["drunk today"]
    assert value == pytest.approx(2 * by_hand(15, 0.0115, 0.95, 2.0), abs=0.6)
    assert low == pytest.approx(2 * by_hand(15, 0.010, 0.90, 2.5), abs=0.6)
    assert high == pytest.approx(2 * by_hand(15, 0.013, 1.0, 1.5), abs=0.6)


def test_half_a_cup_is_half_of_it(client: FlaskClient, make: Make) -> None:
    switch_on(make)
    brew = make.brew(brewed_at=f"{TODAY}T12:00", **STEEPED)
    whole, half = ranges(client), ranges(client, f"{ADDRESS}?share_{brew.id}=50")
    assert half["drunk today"][0] == pytest.approx(whole["drunk today"][0] / 2, abs=1)
    assert half["left now"][0] == pytest.approx(whole["left now"][0] / 2, abs=1)


def test_half_is_left_after_five_hours(client: FlaskClient, make: Make) -> None:
    """Half-life about 5 h (1.5 to 9.5); the clock of the tests stands at noon."""
    switch_on(make)
    make.brew(brewed_at=f"{TODAY}T07:00", **STEEPED)
    found = ranges(client)
    drunk, left = found["drunk today"], found["left now"]
    assert left[0] == pytest.approx(drunk[0] / 2, abs=1)
    assert left[1] == pytest.approx(drunk[1] * 0.5 ** (5 / 1.5), abs=1)
    assert left[2] == pytest.approx(drunk[2] * 0.5 ** (5 / 9.5), abs=1)


def test_what_is_left_of_yesterday_counts_but_not_as_todays(
    client: FlaskClient, make: Make
) -> None:
    switch_on(make)
    make.brew(brewed_at="2026-09-14T22:00", **STEEPED)
    make.brew(brewed_at="2026-09-13T22:00", **STEEPED)
    found = ranges(client)
    assert found["drunk today"] == (0, 0, 0)
    one = by_hand(15, 0.0115, 0.95, 2.0)
    assert found["left now"][0] == pytest.approx(one * 0.5 ** (14 / 5), abs=1)
    assert "yesterday’s 1 brew" in page.text(client.get(ADDRESS).text)


@pytest.mark.parametrize(
    ("limit", "cups", "sentence"),
    [
        ("adult", 1, "200 mg at a time and 400 mg a day"),
        ("adult", 3, "This day may be above the 400 mg of EFSA 2015 for most healthy adults."),
        ("adult", 4, "This day is above the 400 mg"),
        ("pregnancy or lactation", 2, "200 mg of EFSA 2015 while pregnant or nursing"),
    ],
)
def test_published_limits(
    client: FlaskClient, make: Make, limit: str, cups: int, sentence: str
) -> None:
    """EFSA 2015, EFSA Journal 13(5):4102."""
    switch_on(make, limit)
    for hour in range(cups):
        make.brew(brewed_at=f"{TODAY}T{6 + hour:02}:00", **STEEPED)
    shown = page.text(client.get(ADDRESS).text)
    assert sentence in shown
    assert "not medical advice" in shown


def test_robusta_holds_more_and_decaf_little(client: FlaskClient, make: Make) -> None:
    switch_on(make)
    found: list[Any] = []
    for bean in ({"robusta_pct": 100.0}, {}, {"decaf": True}):
        bag = make.bag(make.bean(**bean))
        brew = make.brew(bag, brewed_at=f"{TODAY}T12:00", **STEEPED)
        found.append(ranges(client)["drunk today"][0])
        make.put_in_the_bin(brew)
    assert found[0] > 1.5 * found[1] > 15 * found[2] > 0


@pytest.mark.parametrize("share", ["-1", "101", "half", "1e9", A_DAY_S])
def test_a_share_that_is_none_is_told(client: FlaskClient, make: Make, share: str) -> None:
    switch_on(make)
    brew = make.brew(brewed_at=f"{TODAY}T12:00", **STEEPED)
    shown = client.get(f"{ADDRESS}?share_{brew.id}={share}").text
    assert f'id="share_{brew.id}-error"' in shown
    assert "No answer yet" in shown


def test_no_brew_yet_today(client: FlaskClient, make: Make) -> None:
    switch_on(make)
    assert "No brew yet today" in page.text(client.get(ADDRESS).text)


def test_a_cup_compared_shows_caffeine_once_it_is_wanted(client: FlaskClient, make: Make) -> None:
    switch_on(make)
    assert "caffeine a cup" in page.text(client.get("/worksheets/strong").text)


def test_fault_13_who_is_expecting_sees_it_last_longer(client: FlaskClient, make: Make) -> None:
    """8.3 h (3 to 16), 10.5 h in the last four weeks: Institute of Medicine 2001 and reviews,
    secondary; nursing as any adult. The clock of the tests stands at noon."""
    switch_on(make, "pregnancy or lactation")
    make.brew(brewed_at=f"{TODAY}T07:00", **STEEPED)
    for stage, hours in (
        ("pregnant", (8.3, 3.0, 16.0)),
        ("in the last four weeks", (10.5, 5.0, 18.0)),
        ("nursing", (5.0, 1.5, 9.5)),
    ):
        found = ranges(client, f"{ADDRESS}?stage={stage.replace(' ', '+')}")
        for left, drunk, half_life in zip(
            found["left now"], found["drunk today"], hours, strict=True
        ):
            assert left == pytest.approx(drunk * 0.5 ** (5 / half_life), abs=1)
    shown = page.text(client.get(ADDRESS).text)
    assert "halved every 8.3 hours (3 to 16" in shown
    assert "Institute of Medicine 2001" in shown
    assert "not medical advice" in shown
    assert "Please choose one from the list." in page.text(client.get(f"{ADDRESS}?stage=x").text)
