"""Bags: added, listed with what is left, looked back over, frozen, corrected, binned."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import date
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.bags.lists import MOST_OPEN
from app.database import Database
from app.journal.bags import open_bags
from app.journal.paging import ROWS_A_PAGE
from app.models import Bag, Bean
from tests.support import page
from tests.support.clock import NOON
from tests.support.factories import Make

Watch = Callable[[], AbstractContextManager[list[str]]]
TODAY = date(2026, 9, 15)


def send(client: FlaskClient, address: str, *, holding: str = "net_g", **typed: Any) -> Any:
    opened = client.get(address)
    assert opened.status_code == 200
    return client.post(
        address.partition("?")[0], data=page.filled(opened.text, holding=holding, **typed)
    )


def says(client: FlaskClient, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return page.text(answer.text)


def rows(journal: Database, model: type[Any]) -> list[Any]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(model).order_by(model.id)))


def figures(html: str) -> dict[str, Any]:
    found = re.findall(
        r'<script type="application/json" data-chart="([^"]+)">(.*?)</script>', html, re.S
    )
    return {name: json.loads(text) for name, text in found}


def points(figure: dict[str, Any], name: str) -> list[tuple[float, float]]:
    trace = next(trace for trace in figure["data"] if trace["name"] == name)
    return list(zip(trace["x"], trace["y"], strict=True))


# Adding and changing


def test_a_new_bean_and_its_bag_are_saved_from_one_page(
    client: FlaskClient, journal: Database
) -> None:
    answer = send(
        client, "/bags/new", name="Morning Hill", roaster="Lantern Yard", net_g="250",
        roasted_on="2026-09-01", price="12,50", currency="eur",
    )  # fmt: skip
    assert answer.status_code == 303
    (bean,), (bag,) = rows(journal, Bean), rows(journal, Bag)
    assert (bean.name, bean.roaster, bean.robusta_pct, bean.decaf) == (
        "Morning Hill", "Lantern Yard", 0.0, False,
    )  # fmt: skip
    assert (bag.net_g, bag.roasted_on) == (250.0, date(2026, 9, 1))
    assert (bag.price_minor, bag.currency) == (1250, "EUR")
    shown = says(client, answer.location)
    assert "Morning Hill" in shown
    assert "14 days" in shown


def test_another_bag_of_a_known_bean_leaves_the_bean_alone(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    bean = make.bean(name="Gull Rock")
    answer = send(client, f"/bags/new?bean={bean.id}", net_g="500")
    assert answer.status_code == 303
    assert [row.name for row in rows(journal, Bean)] == ["Gull Rock"]
    assert [(row.bean_id, row.net_g) for row in rows(journal, Bag)] == [(bean.id, 500.0)]


def test_a_bag_needs_a_bean_and_only_one(client: FlaskClient, make: Make) -> None:
    bean = make.bean()
    neither = send(client, "/bags/new")
    both = send(client, f"/bags/new?bean={bean.id}", name="Another")
    assert neither.status_code == both.status_code == 422
    assert "name the new bean, or choose one" in page.text(neither.text)
    assert "not both" in page.text(both.text)


@pytest.mark.parametrize(
    ("field", "typed", "message"),
    [
        ("net_g", "0", "Please stay between 1 and 100000 g."),
        ("net_g", "half", "Please write a number"),
        ("roasted_on", "2026-02-30", "Please write a date as year-month-day"),
        ("opened_on", "2026-08-30", "This is before the roast."),
        ("price", "-1", "Please stay between 0 and"),
        ("price", "99999999", "Please stay within 10000000 EUR."),
        ("currency", "ZZZ", "Please write a currency's three letters"),
        ("currency", "", "Please write a currency's three letters"),
        ("robusta_pct", "101", "Please stay between 0 and 100 %."),
        ("name", "x" * 121, "Keep this within 120 characters."),
        ("name", "  ", "Please name the new bean"),
        ("bean_id", "999", "Please choose one from the list."),
    ],
)
def test_a_slip_is_named_and_nothing_typed_is_lost(
    client: FlaskClient, journal: Database, field: str, typed: str, message: str
) -> None:
    given = {"name": "Kept", "roasted_on": "2026-09-01", "note": "kept note"} | {field: typed}
    answer = client.post("/bags/new", data={"currency": "EUR"} | given)
    assert answer.status_code == 422
    assert message in page.text(answer.text)
    again = page.form(answer.text, holding="net_g")
    assert again["note"] == ["kept note"]
    if field not in ("bean_id", "currency", "name"):
        assert again[field] == [typed]
    assert rows(journal, Bag) == []


@pytest.mark.parametrize(
    ("code", "price", "minor"),
    [
        ("EUR", "12.34", 1234),
        ("JPY", "1800", 1800),
        ("VND", "350000", 350_000),
        ("KWD", "4.125", 4125),
        ("EUR", "10000000", 1_000_000_000),
        ("CLF", "100000", 1_000_000_000),
    ],
)
def test_a_price_is_kept_in_the_smallest_unit_of_its_currency(
    client: FlaskClient, journal: Database, code: str, price: str, minor: int
) -> None:
    answer = send(client, "/bags/new", name="Bean", price=price, currency=code)
    assert answer.status_code == 303
    assert [(bag.currency, bag.price_minor) for bag in rows(journal, Bag)] == [(code, minor)]


@pytest.mark.parametrize(
    ("code", "price"), [("EUR", "10000000.01"), ("CLF", "100001"), ("JPY", "1000000001")]
)
def test_a_price_beyond_the_journal_is_refused(
    client: FlaskClient, journal: Database, code: str, price: str
) -> None:
    answer = send(client, "/bags/new", name="Bean", price=price, currency=code)
    assert answer.status_code == 422
    assert "Please stay" in page.text(answer.text)
    assert rows(journal, Bag) == []


def test_bean_and_bag_are_changed_on_one_page(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    bag = make.bag(price_minor=1999, roasted_on=date(2026, 8, 1))
    opened = page.form(client.get(f"/bags/{bag.id}/edit").text, holding="net_g")
    assert opened["price"] == ["19.99"]
    assert opened["roasted_on"] == ["2026-08-01"]
    answer = send(
        client, f"/bags/{bag.id}/edit", name="Renamed", processed="washed", net_g="", decaf="y"
    )
    assert answer.status_code == 303
    (bean,), (changed,) = rows(journal, Bean), rows(journal, Bag)
    assert (bean.name, bean.process, bean.decaf) == ("Renamed", "washed", True)
    assert (changed.net_g, changed.price_minor) == (None, 1999)


def test_a_slip_while_changing_keeps_what_was_typed(client: FlaskClient, make: Make) -> None:
    bag = make.bag(opened_on=date(2026, 9, 1))
    answer = send(client, f"/bags/{bag.id}/edit", finished_on="2026-08-01", note="typed")
    assert answer.status_code == 422
    assert "before the bag was opened" in page.text(answer.text)
    assert page.form(answer.text, holding="net_g")["note"] == ["typed"]


@pytest.mark.parametrize(
    "address", ["/bags/999", "/bags/999/edit", "/bags/0", "/bags/99999999999999999999"]
)
def test_a_bag_that_is_not_there_is_a_plain_404(client: FlaskClient, address: str) -> None:
    assert client.get(address).status_code == 404


@pytest.mark.parametrize("bean", ["999", "x", "-1", "99999999999999999999999"])
def test_an_unknown_bean_in_the_address_is_left_aside(client: FlaskClient, bean: str) -> None:
    assert client.get(f"/bags/new?bean={bean}").status_code == 200


# What is left


def test_left_is_net_less_doses_plus_corrections(client: FlaskClient, make: Make) -> None:
    bag = make.bag(net_g=100.0)
    for dose_g in (11.0, 11.0, 15.0):
        make.brew(bag, dose_g=dose_g)
    make.brew(bag, dose_g=30.0, binned_at=NOON)
    make.correction(bag, -6.5)
    make.correction(bag, 2.0)
    shown = says(client, f"/bags/{bag.id}")
    assert "58.5 g left, about 3 to 5 brews at 11 g to 15 g." in shown


def test_brews_left_go_by_what_is_usual_of_the_latest_ten_doses(
    client: FlaskClient, make: Make
) -> None:
    bag = make.bag(net_g=1000.0)
    for dose_g in [30.0] * 8 + [10.0] * 9 + [50.0]:
        make.brew(bag, dose_g=dose_g)
    assert "620 g left, about 62 brews at 10 g" in says(client, "/bags/")
    assert "620 g left, about 62 brews at 10 g." in says(client, f"/bags/{bag.id}")


def test_a_bag_that_gave_more_than_it_held_says_so_and_never_shows_less_than_nothing(
    client: FlaskClient, make: Make
) -> None:
    bag = make.bag(net_g=20.0)
    for _ in range(3):
        make.brew(bag, dose_g=11.0)
    for address in ("/bags/", f"/bags/{bag.id}"):
        shown = says(client, address)
        assert "none left: 13 g more was brewed than the bag held" in shown
        assert "−13" not in shown
    assert "0 g" in says(client, f"/bags/{bag.id}")


def test_less_than_one_brew_left_is_said(client: FlaskClient, make: Make) -> None:
    bag = make.bag(net_g=20.0)
    make.brew(bag, dose_g=11.0)
    assert "9 g left, less than a brew at 11 g" in says(client, f"/bags/{bag.id}")


def test_without_a_net_weight_nothing_is_made_up(client: FlaskClient, make: Make) -> None:
    bag = make.bag(net_g=None)
    make.brew(bag)
    assert "no net weight" in says(client, "/bags/")
    shown = says(client, f"/bags/{bag.id}")
    assert "note the net weight" in shown
    assert " left" not in shown


def test_the_mean_cup_costs_its_share_of_the_price(client: FlaskClient, make: Make) -> None:
    bag = make.bag(net_g=250.0, price_minor=1000)
    make.brew(bag, dose_g=10.0)
    make.brew(bag, dose_g=20.0)
    assert "Coffee in the mean cup 0.60 EUR" in says(client, f"/bags/{bag.id}")


def test_corrections_are_noted_and_removed(client: FlaskClient, make: Make) -> None:
    bag = make.bag(net_g=100.0)
    edit = f"/bags/{bag.id}/edit"
    values = page.filled(client.get(edit).text, holding="grams", grams="7,5", why="Spilled")
    assert client.post(f"/bags/{bag.id}/corrections", data=values).status_code == 303
    assert "92.5 g left" in says(client, f"/bags/{bag.id}")
    values = page.filled(client.get(edit).text, holding="grams", grams="2", why="Weighed again")
    client.post(f"/bags/{bag.id}/corrections", data=values | {"way": ["into the bag"]})
    assert "94.5 g left" in says(client, f"/bags/{bag.id}")
    assert client.post(f"/bags/{bag.id}/corrections/1/remove").status_code == 303
    assert "102 g left" in says(client, f"/bags/{bag.id}")


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ({"grams": "-3"}, "Please stay between 0.1 and 100000 g."),
        ({"grams": "0"}, "Please stay between 0.1 and 100000 g."),
        ({"why": " "}, "Please fill this in."),
        ({"way": "sideways"}, "Please choose one from the list."),
        ({"noted_on": "soon"}, "Please write a date"),
    ],
)
def test_a_slip_in_a_correction_is_named(
    client: FlaskClient, make: Make, typed: dict[str, str], message: str
) -> None:
    bag = make.bag()
    sound = {"grams": "5", "way": "out of the bag", "why": "Spilled", "noted_on": "2026-09-01"}
    answer = client.post(f"/bags/{bag.id}/corrections", data=sound | typed)
    assert answer.status_code == 422
    assert message in page.text(answer.text)


def test_a_correction_of_another_bag_is_not_there(client: FlaskClient, make: Make) -> None:
    mine, other = make.bag(), make.bag()
    noted = make.correction(other, -5.0)
    answer = client.post(f"/bags/{mine.id}/corrections/{noted.id}/remove")
    assert answer.status_code == 404
    assert "245 g left" in says(client, f"/bags/{other.id}")


# Rest and freezer


def test_rest_leaves_out_the_days_in_the_freezer(client: FlaskClient, make: Make) -> None:
    bag = make.bag(roasted_on=date(2026, 8, 16))
    make.frozen(bag, date(2026, 8, 20), date(2026, 8, 30))
    assert "Rest today 20 days and 10 frozen" in says(client, f"/bags/{bag.id}")
    assert "rest 20 days and 10 frozen" in says(client, "/bags/")


def test_in_and_out_of_the_freezer(client: FlaskClient, make: Make) -> None:
    bag = make.bag(roasted_on=date(2026, 8, 16))
    edit = f"/bags/{bag.id}/edit"
    values = page.filled(client.get(edit).text, holding="from_on", from_on="2026-09-05")
    assert client.post(f"/bags/{bag.id}/frozen", data=values).status_code == 303
    shown = says(client, f"/bags/{bag.id}")
    assert "20 days and 10 frozen" in shown
    assert "in the freezer" in shown
    assert client.post(f"/bags/{bag.id}/frozen/1/end").status_code == 303
    assert "in the freezer" not in says(client, f"/bags/{bag.id}")
    assert client.post(f"/bags/{bag.id}/frozen/1/remove").status_code == 303
    assert "Rest today 30 days" in says(client, f"/bags/{bag.id}")


def test_out_before_in_is_refused(client: FlaskClient, make: Make) -> None:
    bag = make.bag()
    days = {"from_on": "2026-09-05", "to_on": "2026-09-04"}
    answer = client.post(f"/bags/{bag.id}/frozen", data=days)
    assert answer.status_code == 422
    assert "This is before it went in." in page.text(answer.text)


def test_days_in_the_freezer_yet_to_come_end_where_they_begin(
    client: FlaskClient, make: Make
) -> None:
    bag = make.bag()
    make.frozen(bag, date(2026, 10, 1))
    assert client.post(f"/bags/{bag.id}/frozen/1/end").status_code == 303
    assert "1 Oct 2026 to 1 Oct 2026" in says(client, f"/bags/{bag.id}/edit")


def test_a_roast_day_to_come_and_a_brew_before_the_roast_are_pointed_out(
    client: FlaskClient, make: Make
) -> None:
    bag = make.bag(roasted_on=date(2026, 10, 1))
    assert "roast day still to come" in says(client, f"/bags/{bag.id}")
    make.brew(bag)
    assert "dated before this bag was roasted" in says(client, f"/bags/{bag.id}")


# Looking back


def test_points_stand_at_rest_days_with_blind_and_sighted_apart(
    client: FlaskClient, make: Make
) -> None:
    bag = make.bag(roasted_on=date(2026, 1, 1))
    make.frozen(bag, date(2026, 1, 6), date(2026, 1, 16))
    steeped = {"dose_g": 10.0, "steep_s": 120, "water_temp_c": 93.0}
    first = make.brew(bag, brewed_at="2026-01-05T07:30", water_g=160.0, **steeped)
    second = make.brew(bag, brewed_at="2026-01-20T07:30", water_g=150.0, **steeped)
    make.tasting(first, liking=6)
    make.tasting(second, liking=8, blind=True)
    drawn = figures(client.get(f"/bags/{bag.id}").text)
    assert points(drawn["chart-liking"], "sighted") == [(4, 6)]
    assert points(drawn["chart-liking"], "blind") == [(9, 8)]
    assert points(drawn["chart-ratio"], "ratio") == [(4, 16), (9, 15)]
    assert [day for day, _ in points(drawn["chart-strength"], "estimated")] == [4, 9]


def test_measured_strengths_are_told_from_estimates(client: FlaskClient, make: Make) -> None:
    bag = make.bag(roasted_on=date(2026, 1, 1))
    make.brew(bag, tds_pct=1.31)
    make.brew(bag, steep_s=120, water_temp_c=93.0)
    answer = client.get(f"/bags/{bag.id}")
    drawn = figures(answer.text)["chart-strength"]
    assert points(drawn, "measured") == [(4, 1.31)]
    assert len(points(drawn, "estimated")) == 1
    assert "Estimated strengths follow from what was set" in page.text(answer.text)


def brew_daily(make: Make, bag: Bag, likings: list[int], **given: Any) -> list[Any]:
    brews = []
    for liking in likings:
        brews.append(make.brew(bag, **given))
        make.tasting(brews[-1], liking=liking)
    return brews


def test_a_trend_is_read_at_its_marks_and_calls_itself_a_pattern(
    client: FlaskClient, make: Make
) -> None:
    bag = make.bag(roasted_on=date(2026, 1, 1))
    brew_daily(make, bag, [3, 4, 4, 5, 5, 6, 6, 7, 7])
    early = says(client, f"/bags/{bag.id}")
    assert "Too early to say whether liking moves. It is read after 10 days with a score" in early
    assert "(9 so far), or when the bag is finished" in early
    assert "trend" not in names(client, bag, "chart-liking")
    brew_daily(make, bag, [8])
    shown = says(client, f"/bags/{bag.id}")
    assert "Liking rose by about four and three quarters points over these 10 days" in shown
    assert "a pattern in a journal, not an experiment" in shown
    assert "It is read next after 20 days with a score (10 so far)" in shown
    assert "The sums" in shown
    assert "Kendall's tau-b is 0.95" in shown
    assert {"trend", "smoothed"} <= names(client, bag, "chart-liking")


def names(client: FlaskClient, bag: Bag, chart: str, query: str = "") -> set[str]:
    drawn = figures(client.get(f"/bags/{bag.id}{query}").text)[chart]
    return {trace["name"].partition(",")[0] for trace in drawn["data"]}


def test_fault_2_a_bag_whose_scores_fell_by_a_point_says_so(
    client: FlaskClient, make: Make
) -> None:
    """cf7c70f: "no clear direction: about −0.053 (−0.071 to 0.000)", where scipy has p = 7e-5."""
    bag = make.bag(roasted_on=date(2026, 1, 1), finished_on=date(2026, 3, 1))
    brew_daily(make, bag, [7] * 11 + [6] * 11)
    shown = says(client, f"/bags/{bag.id}")
    assert "Liking fell by about three quarters of a point in ten days" in shown
    assert "no clear direction" not in shown


def test_fault_2_two_days_make_no_line(client: FlaskClient, make: Make) -> None:
    """cf7c70f: "In these 5 cups strength rose by about 0.055 per day" from one cup on day two."""
    bag = make.bag(roasted_on=date(2026, 1, 1), finished_on=date(2026, 3, 1))
    for day, tds_pct in (("05", 1.20), ("05", 1.21), ("05", 1.22), ("05", 1.23), ("06", 1.27)):
        brew = make.brew(bag, brewed_at=f"2026-01-{day}T07:30", tds_pct=tds_pct)
        make.tasting(brew, liking=5 if day == "05" else 8)
    shown = says(client, f"/bags/{bag.id}")
    assert "rose" not in shown
    assert "Too little to say whether liking moved: 2 days with a score" in shown
    assert not any("trend" in name for name in names(client, bag, "chart-strength"))


def test_fault_18_blind_and_sighted_scores_have_trends_of_their_own(
    client: FlaskClient, make: Make
) -> None:
    """cf7c70f pooled them: the sighted rise hid in level blind scores."""
    bag = make.bag(roasted_on=date(2026, 1, 1), finished_on=date(2026, 3, 1))
    for liking in (3, 4, 4, 5, 5, 6, 6, 7, 7, 8):
        brew = make.brew(bag)
        make.tasting(brew, liking=liking)
        make.tasting(brew, liking=11 - liking, blind=True)
    shown = says(client, f"/bags/{bag.id}")
    assert "Liking of the sighted cups rose by" in shown
    assert "Liking of the blind cups fell by" in shown
    assert "The cups were not tasted blind, so what one expects" in shown


def test_fault_18_tasters_are_never_pooled(client: FlaskClient, make: Make) -> None:
    """cf7c70f took the mean of all tasters of a cup, without a word."""
    bag = make.bag(roasted_on=date(2026, 1, 1), finished_on=date(2026, 3, 1))
    ada, bo = make.taster(name="Ada"), make.taster(name="Bo")
    for liking in (3, 4, 4, 5, 5, 6, 6, 7, 7, 8):
        brew = make.brew(bag)
        make.tasting(brew, ada, liking=liking)
        make.tasting(brew, bo, liking=11 - liking)
    make.tasting(brew, bo, liking=3)
    address = f"/bags/{bag.id}"
    most = says(client, address)
    assert "Liking over the bag's days, by Bo" in most
    assert "Tasters are not pooled." in most
    assert "Liking fell by" in most
    assert "Liking rose by" in says(client, f"{address}?taster={ada.id}")
    for wrong in ("x", "0", "999", "9" * 30):
        assert "by Bo" in says(client, f"{address}?taster={wrong}")


def test_fault_18_estimated_strengths_are_not_pooled_with_measured_ones(
    client: FlaskClient, make: Make
) -> None:
    bag = make.bag(roasted_on=date(2026, 1, 1), finished_on=date(2026, 3, 1))
    for step in range(12):
        make.brew(bag, water_g=200.0 + 5 * step, steep_s=120, water_temp_c=93.0)
    assert "Strength rose" not in says(client, f"/bags/{bag.id}")
    assert "Strength fell" not in says(client, f"/bags/{bag.id}")
    for step in range(10):
        make.brew(bag, water_g=200.0, tds_pct=1.2 + step / 50)
    shown = says(client, f"/bags/{bag.id}")
    assert "Strength rose by about 0.18 points of TDS over these 10 days" in shown


def test_what_moved_along_with_the_days_cannot_be_told_from_them(
    client: FlaskClient, make: Make
) -> None:
    bag = make.bag(roasted_on=date(2026, 1, 1), finished_on=date(2026, 3, 1))
    for step, liking in enumerate((3, 4, 4, 5, 5, 6, 6, 7, 7, 8)):
        grind, dose_g = "fine" if step < 5 else "medium", 14.0 + step / 10
        brew = make.brew(
            bag, grind=grind, dose_g=dose_g, water_g=200.0, grind_setting=f"{9 - step}"
        )
        make.tasting(brew, liking=liking)
    shown = says(client, f"/bags/{bag.id}")
    assert (
        "What was set moved along with the days too (grind, grinder setting, dose and ratio), so "
        "their part and that of the days cannot be told apart."
    ) in shown


def test_scoring_fewer_cups_as_the_bag_ages_is_said_beside_the_trend(
    client: FlaskClient, make: Make
) -> None:
    bag = make.bag(roasted_on=date(2026, 1, 1), finished_on=date(2026, 3, 1))
    for step in range(20):
        brew = make.brew(bag)
        if step < 10 or step % 3 == 1:
            make.tasting(brew, liking=5 + step // 10)
    shown = says(client, f"/bags/{bag.id}")
    assert (
        "Which cups were scored changed along the days, too: 10 of 10 in the earlier half, "
        "4 of 10 in the later. If those left out were worse, or better, that alone brings such a "
        "direction, and the two cannot be told apart."
    ) in shown


def test_settings_that_came_and_went_are_not_named(client: FlaskClient, make: Make) -> None:
    bag = make.bag(roasted_on=date(2026, 1, 1), finished_on=date(2026, 3, 1))
    for step, liking in enumerate((3, 4, 4, 5, 5, 6, 6, 7, 7, 8)):
        brew = make.brew(bag, dose_g=14.0 + step % 2, water_temp_c=93.0 + (step == 9))
        make.tasting(brew, liking=liking)
    assert "What was set moved" not in says(client, f"/bags/{bag.id}")


def test_without_a_roast_day_days_count_from_the_first_brew(
    client: FlaskClient, make: Make
) -> None:
    bag = make.bag()
    for _ in range(3):
        make.brew(bag)
    answer = client.get(f"/bags/{bag.id}")
    drawn = figures(answer.text)["chart-ratio"]
    assert [day for day, _ in points(drawn, "ratio")] == [0, 1, 2]
    assert drawn["layout"]["xaxis"]["title"]["text"] == "days since the first brew shown"
    assert "roast day is not noted" in page.text(answer.text)


def test_the_best_cups_lead_to_their_brews(client: FlaskClient, make: Make) -> None:
    bag = make.bag(roasted_on=date(2026, 1, 1))
    brews = [make.brew(bag) for _ in range(7)]
    for brew, liking in zip(brews, (2, 9, 3, 8, 9, 4, 5), strict=True):
        make.tasting(brew, liking=liking)
    html = client.get(f"/bags/{bag.id}").text
    linked = [int(n) for n in re.findall(r'<a href="/brews/(\d+)"><strong>', html)]
    assert linked == [brews[n].id for n in (4, 1, 3, 6, 5)]
    again = [int(n) for n in re.findall(r'href="/brews/new\?like=(\d+)">Brew again', html)]
    assert again == linked


def test_uses_of_filters_are_summed_by_use_number(client: FlaskClient, make: Make) -> None:
    bag, paper, second = make.bag(), make.filter(), make.filter(prior_uses=11)
    for liking, press_s in ((6, 20), (8, 30)):
        brew = make.brew(bag, filters=[paper], press_s=press_s)
        make.tasting(brew, liking=liking)
    make.brew(bag, filters=[paper, second], press_s=40)
    shown = says(client, f"/bags/{bag.id}")
    assert "1st 1 6.0 20 2nd 1 8.0 30 3rd 1 – 40 11th or later 1 – 40" in shown


def test_cups_and_tastings_in_the_bin_leave_the_charts(client: FlaskClient, make: Make) -> None:
    bag = make.bag(roasted_on=date(2026, 1, 1))
    kept, gone = make.brew(bag), make.brew(bag, binned_at=NOON)
    make.tasting(kept, liking=5)
    make.tasting(make.brew(bag), liking=7)
    make.tasting(kept, liking=9, binned_at=NOON)
    make.tasting(gone, liking=1)
    drawn = figures(client.get(f"/bags/{bag.id}").text)
    assert points(drawn["chart-liking"], "sighted") == [(4, 5), (6, 7)]
    assert len(points(drawn["chart-ratio"], "ratio")) == 2


def test_only_the_latest_four_hundred_cups_are_drawn_and_that_is_said(
    client: FlaskClient, make: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.bags.review.MOST_BREWS", 4)
    bag = make.bag(roasted_on=date(2026, 1, 1))
    for _ in range(6):
        make.brew(bag)
    answer = client.get(f"/bags/{bag.id}")
    assert [day for day, _ in points(figures(answer.text)["chart-ratio"], "ratio")] == [6, 7, 8, 9]
    assert "The latest 4 of 6 brews are shown." in page.text(answer.text)


# The list


def test_an_empty_journal_offers_the_first_bag(client: FlaskClient) -> None:
    html = client.get("/bags/").text
    assert "No bags yet" in html
    assert 'href="/bags/new"' in html


def test_open_bags_come_by_last_use_and_finished_ones_by_day(
    client: FlaskClient, make: Make
) -> None:
    names = ("Old use", "New use", "Never used")
    old, new, _ = (make.bag(make.bean(name=name)) for name in names)
    make.bag(make.bean(name="Done early"), finished_on=date(2026, 2, 1))
    make.bag(make.bean(name="Done late"), finished_on=date(2026, 3, 1))
    make.brew(old, brewed_at="2026-05-01T08:00")
    make.brew(new, brewed_at="2026-06-01T08:00")
    html = client.get("/bags/").text
    order = ["New use", "Old use", "Never used", "Done late", "Done early"]
    assert re.findall(r"<strong>([^<]+)</strong>", html) == order


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("hügel", ["Grüner Hügel"]),
        ("GRUNER", ["Grüner Hügel"]),
        ("lantern rock", ["Gull Rock"]),
        ("natural", ["Gull Rock"]),
        ("%", []),
        ("nothing like it", []),
    ],
)
def test_bags_are_found_by_every_word_whatever_case_or_accent(
    client: FlaskClient, make: Make, words: str, found: list[str]
) -> None:
    make.bag(make.bean(name="Grüner Hügel", roaster="Brook Mill"))
    make.bag(make.bean(name="Gull Rock", process="natural"), finished_on=date(2026, 3, 1))
    html = client.get("/bags/", query_string={"q": words}).text
    assert re.findall(r"<strong>([^<]+)</strong>", html) == found
    assert ("No bag fits" in html) is (not found)


def test_finished_bags_are_paged_and_the_search_goes_along(client: FlaskClient, make: Make) -> None:
    bean = make.bean()
    for n in range(ROWS_A_PAGE + 3):
        make.bag(bean, finished_on=date(2026, 3, 1 + n % 2))
    first = client.get("/bags/?q=morning").text
    (older,) = re.findall(r'rel="next" href="([^"]+)"', first)
    second = client.get(older.replace("&amp;", "&")).text
    (newer,) = re.findall(r'rel="prev" href="([^"]+)"', second)
    seen = [re.findall(r'class="row" href="/bags/(\d+)"', html) for html in (first, second)]
    assert [len(part) for part in seen] == [ROWS_A_PAGE, 3]
    assert len(set(seen[0] + seen[1])) == ROWS_A_PAGE + 3
    assert "q=morning" in older
    again = client.get(newer.replace("&amp;", "&")).text
    assert re.findall(r'class="row" href="/bags/(\d+)"', again) == seen[0]


def test_more_open_bags_than_fit_are_mentioned(client: FlaskClient, make: Make) -> None:
    bean = make.bean()
    for _ in range(MOST_OPEN + 1):
        make.bag(bean)
    answer = client.get("/bags/")
    assert len(re.findall(r'class="row"', answer.text)) == MOST_OPEN
    assert f"These are the {MOST_OPEN} last used." in page.text(answer.text)


@pytest.mark.parametrize("mark", ["x", "0-0", "9" * 17 + "-1", "-1-1"])
def test_a_mangled_page_mark_is_no_mark(client: FlaskClient, make: Make, mark: str) -> None:
    make.bag(finished_on=date(2026, 3, 1))
    assert client.get(f"/bags/?before={mark}").status_code == 200
    assert client.get(f"/bags/?after={mark}").status_code == 200


# Finishing, binning


def test_finishing_and_opening_again(client: FlaskClient, journal: Database, make: Make) -> None:
    bag = make.bag(opened_on=date(2026, 9, 1))
    assert client.post(f"/bags/{bag.id}/finish").status_code == 303
    assert rows(journal, Bag)[0].finished_on == TODAY
    assert client.post(f"/bags/{bag.id}/reopen").status_code == 303
    assert rows(journal, Bag)[0].finished_on is None


def test_a_bag_opened_tomorrow_is_finished_tomorrow(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    bag = make.bag(opened_on=date(2026, 9, 16))
    assert client.post(f"/bags/{bag.id}/finish").status_code == 303
    assert rows(journal, Bag)[0].finished_on == date(2026, 9, 16)


def test_a_binned_bag_leaves_the_lists_and_its_brews_keep_its_name(
    client: FlaskClient, make: Make
) -> None:
    bag = make.bag(make.bean(name="Gull Rock"))
    brew = make.brew(bag)
    assert client.post(f"/bags/{bag.id}/bin").status_code == 303
    assert "Gull Rock" not in says(client, "/bags/")
    assert "in the bin" in says(client, f"/bags/{bag.id}")
    assert "Gull Rock" in says(client, f"/brews/{brew.id}")
    assert client.post(f"/bags/{bag.id}/restore").status_code == 303
    assert "Gull Rock" in says(client, "/bags/")


@pytest.mark.parametrize(
    "action", ["edit", "finish", "reopen", "bin", "restore", "frozen", "corrections",
               "frozen/1/end", "frozen/1/remove", "corrections/1/remove"],
)  # fmt: skip
def test_nothing_can_be_done_to_a_bag_that_is_not_there(client: FlaskClient, action: str) -> None:
    data = {"name": "x", "currency": "EUR"}
    assert client.post(f"/bags/999/{action}", data=data).status_code == 404


# For the brew form


def test_open_bags_for_a_brew_come_newest_use_first_with_those_asked_for(
    journal: Database, make: Make
) -> None:
    fresh, used, done = make.bag(net_g=None), make.bag(net_g=100.0), make.bag()
    binned = make.bag(binned_at=NOON)
    make.brew(used, dose_g=12.0)
    with Session(journal.writer) as session, session.begin():
        session.get_one(Bag, done.id).finished_on = TODAY
    with Session(journal.reader) as session:
        offered = open_bags(session)
        asked = open_bags(session, also=[done.id, binned.id, 999])
    assert [(bag.id, bag.left_g) for bag in offered] == [(used.id, 88.0), (fresh.id, None)]
    assert {bag.id for bag in asked} == {fresh.id, used.id, done.id, binned.id}


# The database is asked a fixed number of questions


def fill(make: Make, count: int) -> int:
    first = make.bag(roasted_on=date(2026, 1, 1))
    make.frozen(first, date(2026, 1, 3), date(2026, 1, 4))
    paper, other = make.filter(), make.filter()
    for _ in range(count):
        make.tasting(make.brew(first, filters=[paper, other]))
        bag = make.bag(roasted_on=date(2026, 1, 1))
        make.frozen(bag, date(2026, 1, 3))
        make.correction(bag, -1.0)
        make.brew(bag)
        done = make.bag(finished_on=date(2026, 2, 1))
        make.tasting(make.brew(done))
    return first.id


@pytest.mark.parametrize("page_of", ["/bags/", "/bags/{}", "/bags/{}/edit", "/bags/new"])
def test_a_page_asks_as_much_for_thirty_rows_as_for_three(
    client: FlaskClient, make: Make, statements: Watch, page_of: str
) -> None:
    asked = []
    for more in (3, 27):
        address = page_of.format(fill(make, more))
        client.get(address)
        with statements() as seen:
            assert client.get(address).status_code == 200
        asked.append(len(seen))
    assert asked[0] == asked[1]


# What matters first


def test_a_bag_of_no_cup_of_one_and_of_two_says_what_is_missing_and_draws_nothing_of_nothing(
    client: FlaskClient, make: Make
) -> None:
    bag = make.bag()
    assert "No brews from this bag yet" in says(client, f"/bags/{bag.id}")
    first = make.brew(bag)
    one = says(client, f"/bags/{bag.id}")
    assert "No cup from this bag has been scored yet" in one
    assert "One cup so far. Charts over the bag's days begin with the second." in one
    assert figures(client.get(f"/bags/{bag.id}").text) == {}
    make.brew(bag, water_g=260.0)
    make.tasting(first, liking=6)
    two = client.get(f"/bags/{bag.id}").text
    assert set(figures(two)) == {"chart-ratio"}
    assert "Best cups" in two


def test_a_chart_that_hardly_moves_is_folded_away_below_the_others(
    client: FlaskClient, make: Make
) -> None:
    bag = make.bag(roasted_on=date(2026, 1, 1))
    for water_g, tds_pct, liking in ((220.0, 1.21, 5), (222.0, 1.44, 8), (224.0, 1.30, 6)):
        make.tasting(make.brew(bag, water_g=water_g, tds_pct=tds_pct), liking=liking)
    html = client.get(f"/bags/{bag.id}").text
    folded = [page.text(one) for one in re.findall(r"<summary>([^<]*hardly[^<]*)<", html)]
    assert [one.replace("\xa0", " ") for one in folded] == [
        "Strength over the bag's days: hardly moves (1.21 to 1.44 % TDS)",
        "Ratio over the bag's days: hardly moves (1 : 15.7 to 16.0)",
    ]
    make.brew(bag, water_g=260.0, tds_pct=1.46)
    assert "hardly moves" not in client.get(f"/bags/{bag.id}").text


def test_what_matters_stands_before_the_charts(client: FlaskClient, make: Make) -> None:
    bag = make.bag()
    for _ in range(4):
        make.tasting(make.brew(bag, make.brewer(kind="cone")), jar_strength=2)
    html = client.get(f"/bags/{bag.id}").text
    places = [html.index(one) for one in ("g left", "Best cups", 'class="chart"', "The bag</h2>")]
    assert places == sorted(places)
