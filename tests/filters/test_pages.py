"""Filters: packs, taking one out, its page by use number, retiring and putting back."""

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

from app.database import Database
from app.filters.queries import MOST_USES
from app.filters.views import MOST_ON_HAND
from app.journal.packs import packs_with_left, take_fresh
from app.journal.paging import ROWS_A_PAGE
from app.models import Filter, FilterPack
from tests.support import page
from tests.support.clock import NOON
from tests.support.factories import Make

Watch = Callable[[], AbstractContextManager[list[str]]]
TODAY = date(2026, 9, 15)
PACK = {"name": "White round", "material": "paper", "count": "100", "currency": "EUR"}


def says(client: FlaskClient, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return page.text(answer.text)


def rows(journal: Database, model: type[Any]) -> list[Any]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(model).order_by(model.id)))


def drawn(html: str, name: str) -> list[tuple[float, float]]:
    found = re.search(rf'data-chart="{name}">(.*?)</script>', html, re.S)
    assert found
    trace, *_ = json.loads(found[1])["data"]
    return list(zip(trace["x"], trace["y"], strict=True))


# Packs


def test_a_pack_is_added_and_stands_on_its_page(client: FlaskClient, journal: Database) -> None:
    given = PACK | {"price": "4,50", "mass_g": "0.17", "bought_on": "2026-09-01", "note": "Thin."}
    answer = client.post("/filters/packs/new", data=given)
    assert answer.status_code == 303
    (pack,) = rows(journal, FilterPack)
    assert (pack.material, pack.count, pack.price_minor, pack.mass_g) == ("paper", 100, 450, 0.17)
    shown = says(client, answer.location)
    assert "100 of 100" in shown
    assert "0.045 EUR" in shown
    assert "Thin." in shown
    assert "100 left" in says(client, "/filters/")


@pytest.mark.parametrize(
    ("field", "typed", "message"),
    [
        ("name", " ", "Please fill this in."),
        ("material", "felt", "Please choose one from the list."),
        ("count", "", "Please fill this in."),
        ("count", "0", "Please stay between 1 and 10000."),
        ("count", "2.5", "Please write a whole number."),
        ("mass_g", "0", "Please stay between 0.01 and 500 g."),
        ("bought_on", "today", "Please write a date"),
        ("currency", "??", "Please write a currency's three letters"),
        ("price", "1e9", "Please write a number"),
    ],
)
def test_a_slip_in_a_pack_is_named_and_nothing_typed_is_lost(
    client: FlaskClient, journal: Database, field: str, typed: str, message: str
) -> None:
    answer = client.post("/filters/packs/new", data=PACK | {"note": "kept note", field: typed})
    assert answer.status_code == 422
    assert message in page.text(answer.text)
    again = page.form(answer.text, holding="count")
    assert again["note"] == ["kept note"]
    if field != "material":
        assert again[field] == [typed.strip() if field == "name" else typed]
    assert rows(journal, FilterPack) == []


def test_a_pack_is_changed_but_not_below_what_was_taken(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    pack = make.pack(price_minor=450)
    make.filter(pack)
    make.filter(pack)
    edit = f"/filters/packs/{pack.id}/edit"
    opened = client.get(edit).text
    short = client.post(edit, data=page.filled(opened, holding="count", count="1"))
    assert short.status_code == 422
    assert "2 were already taken out of this pack." in page.text(short.text)
    assert page.form(opened, holding="count")["price"] == ["4.5"]
    sound = client.post(edit, data=page.filled(opened, holding="count", count="2", name="New"))
    assert sound.status_code == 303
    (changed,) = rows(journal, FilterPack)
    assert (changed.name, changed.count, changed.price_minor) == ("New", 2, 450)
    assert "none of 2" in says(client, f"/filters/packs/{pack.id}")


def test_what_a_pack_has_cost_a_cup(client: FlaskClient, make: Make) -> None:
    pack = make.pack(price_minor=400, count=100)
    first, second = make.filter(pack), make.filter(pack, prior_uses=1)
    for stack in ([first], [first, second], [second]):
        make.brew(filters=stack)
    make.brew(filters=[first], binned_at=NOON)
    shown = says(client, f"/filters/packs/{pack.id}")
    assert "Cups through its filters 5" in shown
    assert "Uses of each, on average 2.5" in shown
    assert "A cup so far 0.016 EUR" in shown


def test_a_binned_pack_leaves_the_lists_and_comes_back(client: FlaskClient, make: Make) -> None:
    pack = make.pack(name="Old box")
    paper = make.filter(pack)
    brew = make.brew(filters=[paper])
    assert client.post(f"/filters/packs/{pack.id}/bin").status_code == 303
    assert "Old box" not in says(client, "/filters/")
    assert "Old box" not in says(client, "/filters/packs")
    assert "in the bin" in says(client, f"/filters/packs/{pack.id}")
    assert "Old box no. 1" in says(client, f"/brews/{brew.id}")
    assert client.post(f"/filters/packs/{pack.id}/restore").status_code == 303
    assert "Old box" in says(client, "/filters/")


def test_packs_and_their_filters_are_paged(client: FlaskClient, make: Make) -> None:
    pack = make.pack(name="Box 0")
    for n in range(ROWS_A_PAGE + 2):
        make.filter(pack)
        make.pack(name=f"Box {n + 1}")
    for address, total in ((f"/filters/packs/{pack.id}", 52), ("/filters/packs", 53)):
        first = client.get(address).text
        (older,) = re.findall(r'rel="next" href="([^"]+)"', first)
        second = client.get(older).text
        names = [re.findall(r"<strong>([^<]+)</strong>", html) for html in (first, second)]
        assert [len(part) for part in names] == [ROWS_A_PAGE, total - ROWS_A_PAGE]
        assert len(set(names[0] + names[1])) == total
        assert "To the newest" in second
        assert 'rel="next"' not in second


# Taking out


def test_taking_a_fresh_one_numbers_it_next(client: FlaskClient, make: Make) -> None:
    pack = make.pack()
    make.filter(pack)
    answer = client.post(f"/filters/packs/{pack.id}/take")
    assert answer.status_code == 303
    shown = says(client, answer.location)
    assert "White round no. 2" in shown
    assert "fresh" in shown


def test_an_empty_pack_says_so_and_gives_none(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    pack = make.pack(count=1)
    make.filter(pack)
    answer = client.post(f"/filters/packs/{pack.id}/take")
    assert answer.status_code == 303
    assert "White round is empty: all 1 were taken out." in says(client, answer.location)
    assert len(rows(journal, Filter)) == 1


def test_a_fresh_one_is_rinsed_like_the_one_before(journal: Database, make: Make) -> None:
    pack = make.pack()
    make.filter(pack, rinse="hot")
    with Session(journal.writer) as session, session.begin():
        fresh = take_fresh(session, pack.id)
        assert (fresh.number, fresh.rinse, fresh.prior_uses) == (2, "hot", 0)


def test_none_comes_out_of_a_binned_or_unknown_pack(journal: Database, make: Make) -> None:
    pack = make.pack(binned_at=NOON)
    with Session(journal.writer) as session, session.begin():
        for pack_id in (pack.id, 999):
            with pytest.raises(ValueError, match="not there any more"):
                take_fresh(session, pack_id)


def test_packs_with_left_are_those_that_still_hold_one(journal: Database, make: Make) -> None:
    full, opened, empty = make.pack(), make.pack(), make.pack(count=1)
    make.pack(binned_at=NOON)
    make.filter(opened)
    make.filter(empty)
    with Session(journal.reader) as session:
        found = packs_with_left(session)
    assert [(pack.id, pack.left) for pack in found] == [(opened.id, 99), (full.id, 100)]


def test_one_never_used_can_be_put_back(client: FlaskClient, journal: Database, make: Make) -> None:
    pack = make.pack()
    paper = make.filter(pack)
    assert "Put back in the pack" in says(client, f"/filters/{paper.id}")
    answer = client.post(f"/filters/{paper.id}/put-back")
    assert answer.location == f"/filters/packs/{pack.id}"
    shown = says(client, answer.location)
    assert "Left 100 of 100" in shown
    assert "Taken out None yet." in shown
    assert [row.binned_at for row in rows(journal, Filter)] == [NOON]


def test_one_that_a_brew_went_through_stays_even_if_the_brew_is_binned(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    paper = make.filter()
    make.brew(filters=[paper], binned_at=NOON)
    assert "Put back" not in says(client, f"/filters/{paper.id}")
    answer = client.post(f"/filters/{paper.id}/put-back")
    assert "it stays out of the pack" in says(client, answer.location)
    assert len(rows(journal, Filter)) == 1


# One filter


def test_each_use_has_its_number_gap_press_time_effort_and_liking(
    client: FlaskClient, make: Make
) -> None:
    bag = make.bag(make.bean(name="Gull Rock"))
    paper = make.filter(prior_uses=2)
    for day, press_s, effort, liking in (("05", 20, 1, 6), ("08", 31, 3, 7), ("08", 35, 4, 5)):
        brew = make.brew(
            bag, filters=[paper], brewed_at=f"2026-01-{day}T07:30", press_s=press_s,
            press_effort=effort,
        )  # fmt: skip
        make.tasting(brew, liking=liking)
    make.brew(bag, filters=[paper], brewed_at="2026-01-06T07:30", binned_at=NOON)
    answer = client.get(f"/filters/{paper.id}")
    shown = page.text(answer.text)
    assert (
        "8 Jan 2026 5th 0 35 4 liking 5 of 9 Gull Rock "
        "8 Jan 2026 4th 3 31 3 liking 7 of 9 Gull Rock "
        "5 Jan 2026 3rd – 20 1 liking 6 of 9 Gull Rock"
    ) in shown
    assert "Uses 5, 2 of them before this journal" in shown
    assert drawn(answer.text, "chart-press_s") == [(3, 20), (4, 31), (5, 35)]
    assert drawn(answer.text, "chart-press_effort") == [(3, 1), (4, 3), (5, 4)]
    assert drawn(answer.text, "chart-liking") == [(3, 6), (4, 7), (5, 5)]


def test_a_brew_entered_late_moves_the_later_use_numbers(client: FlaskClient, make: Make) -> None:
    paper = make.filter()
    make.brew(filters=[paper], brewed_at="2026-01-05T07:30", press_s=20)
    make.brew(filters=[paper], brewed_at="2026-01-09T07:30", press_s=40)
    address = f"/filters/{paper.id}"
    assert drawn(client.get(address).text, "chart-press_s") == [(1, 20), (2, 40)]
    make.brew(filters=[paper], brewed_at="2026-01-07T07:30", press_s=30)
    assert drawn(client.get(address).text, "chart-press_s") == [(1, 20), (2, 30), (3, 40)]


def test_a_trend_over_uses_is_read_at_its_marks_and_at_the_end(
    client: FlaskClient, make: Make
) -> None:
    paper = make.filter()
    for press_s in (20, 22, 24, 26, 28, 30):
        make.brew(filters=[paper], press_s=press_s)
    address = f"/filters/{paper.id}"
    assert "It is read after 10 days with a press time (6 so far)" in says(client, address)
    client.post(f"{address}/retire")
    shown = says(client, address)
    assert "Press time rose by about 10 s over these 6 uses (6 days with a press time)." in shown
    assert "a pattern in a journal, not an experiment" in shown


def test_uses_of_one_morning_count_as_one_day(client: FlaskClient, make: Make) -> None:
    paper = make.filter(retired_on=date(2026, 3, 1))
    for day in ("05", "06"):
        for hour in range(5):
            make.brew(filters=[paper], brewed_at=f"2026-01-{day}T1{hour}:00", press_s=20 + hour)
    assert "Too little to say whether press time moved: 2 days" in says(
        client, f"/filters/{paper.id}"
    )


def test_another_bag_on_the_way_cannot_be_told_from_the_uses(
    client: FlaskClient, make: Make
) -> None:
    paper, first, second = make.filter(retired_on=date(2026, 3, 1)), make.bag(), make.bag()
    for step in range(10):
        make.brew(first if step < 5 else second, filters=[paper], press_s=20 + step)
    shown = says(client, f"/filters/{paper.id}")
    assert "moved along with the uses too (bag), so their part" in shown


def test_fault_18_likings_by_use_are_those_of_one_taster_blind_apart(
    client: FlaskClient, make: Make
) -> None:
    paper = make.filter(retired_on=date(2026, 3, 1))
    ada, bo = make.taster(name="Ada"), make.taster(name="Bo")
    for liking in (3, 4, 4, 5, 5, 6, 6, 7, 7, 8):
        brew = make.brew(filters=[paper])
        make.tasting(brew, ada, liking=liking)
        make.tasting(brew, ada, liking=5, blind=True)
        make.tasting(brew, bo, liking=11 - liking)
    address = f"/filters/{paper.id}"
    shown = says(client, address)
    assert "Liking of the sighted cups rose by" in shown
    assert "No direction is clear in liking of the blind cups" in shown
    assert "Liking fell by" in says(client, f"{address}?taster={bo.id}")


def test_only_the_latest_uses_are_listed_with_their_true_numbers(
    client: FlaskClient, make: Make
) -> None:
    metal = make.filter(make.pack(material="metal", count=1))
    for n in range(MOST_USES + 2):
        make.brew(filters=[metal], press_s=n)
    answer = client.get(f"/filters/{metal.id}")
    points = drawn(answer.text, "chart-press_s")
    assert len(points) == MOST_USES
    assert (points[0], points[-1]) == ((3, 2), (MOST_USES + 2, MOST_USES + 1))
    shown = page.text(answer.text)
    assert f"The latest {MOST_USES} uses." in shown
    assert "3rd 1 2" in shown


def test_cost_and_grams_of_a_cup_shrink_with_each_use(client: FlaskClient, make: Make) -> None:
    paper = make.filter(make.pack(price_minor=500, count=100, mass_g=0.17))
    address = f"/filters/{paper.id}"
    assert "after its first use" in says(client, address)
    make.brew(filters=[paper])
    assert "Cost of a cup 0.050 EUR" in says(client, address)
    make.brew(filters=[paper])
    shown = says(client, address)
    assert "Cost of a cup 0.025 EUR" in shown
    assert "0.17 g , 0.085 g a cup" in shown


def test_what_is_not_known_has_a_way_to_fill_it(client: FlaskClient, make: Make) -> None:
    paper = make.filter()
    make.brew(filters=[paper])
    html = client.get(f"/filters/{paper.id}").text
    assert f'href="/filters/packs/{paper.pack_id}/edit">price of the pack' in html
    assert f'href="/filters/packs/{paper.pack_id}/edit">weigh ten' in html


def test_a_filter_is_changed(client: FlaskClient, journal: Database, make: Make) -> None:
    paper = make.filter()
    edit = f"/filters/{paper.id}/edit"
    opened = client.get(edit).text
    slip = client.post(edit, data=page.filled(opened, holding="rinse", prior_uses="-1", note="t"))
    assert slip.status_code == 422
    assert page.form(slip.text, holding="rinse")["note"] == ["t"]
    sound = page.filled(opened, holding="rinse", prior_uses="3", rinse="hot", note="Thin edge.")
    assert client.post(edit, data=sound).status_code == 303
    (changed,) = rows(journal, Filter)
    assert (changed.prior_uses, changed.rinse) == (3, "hot")
    shown = says(client, f"/filters/{paper.id}")
    assert "Thin edge." in shown
    # 4.186 kJ/kg K over 75 K at 0.85: 0.1 kg takes 0.0103 kWh.
    assert "about 0.010 kWh for each 100 g" in shown


def test_emptied_prior_uses_are_none(client: FlaskClient, journal: Database, make: Make) -> None:
    paper = make.filter(prior_uses=4)
    edit = f"/filters/{paper.id}/edit"
    client.post(edit, data=page.filled(client.get(edit).text, holding="rinse", prior_uses=""))
    assert rows(journal, Filter)[0].prior_uses == 0


# When to let it go


def test_a_paper_in_use_carries_the_caution_and_its_days(client: FlaskClient, make: Make) -> None:
    paper = make.filter()
    make.brew(filters=[paper], brewed_at="2026-09-13T07:30")
    shown = says(client, f"/filters/{paper.id}")
    assert "once is the safe default" in shown
    assert "no authority's rule on reusing damp paper was found" in shown
    assert "This one has lain for 2 days." in shown
    make.brew(filters=[paper], brewed_at="2026-09-15T07:30")
    assert "Used today: rinse it and let it dry through" in says(client, f"/filters/{paper.id}")


@pytest.mark.parametrize("material", ["metal", "cloth"])
def test_metal_and_cloth_are_washed_not_discarded_damp(
    client: FlaskClient, make: Make, material: str
) -> None:
    kept = make.filter(make.pack(material=material, count=1))
    make.brew(filters=[kept])
    shown = says(client, f"/filters/{kept.id}")
    assert "Wash it after each use" in shown
    assert "common practice, no source" in shown
    assert "damp paper" not in shown


def test_retiring_and_using_again(client: FlaskClient, journal: Database, make: Make) -> None:
    paper = make.filter()
    make.brew(filters=[paper])
    assert client.post(f"/filters/{paper.id}/retire").status_code == 303
    assert rows(journal, Filter)[0].retired_on == TODAY
    assert "no. 1" not in says(client, "/filters/")
    assert "White round no. 1" in says(client, "/filters/retired")
    shown = says(client, f"/filters/{paper.id}")
    assert "retired" in shown
    assert "Caution" not in shown
    assert client.post(f"/filters/{paper.id}/unretire").status_code == 303
    assert "White round no. 1" in says(client, "/filters/")


# Lists


def test_an_empty_journal_offers_the_first_pack(client: FlaskClient) -> None:
    html = client.get("/filters/").text
    assert "No filters yet" in html
    assert 'href="/filters/packs/new"' in html
    for address in ("/filters/packs", "/filters/retired"):
        assert client.get(address).status_code == 200


def test_filters_on_hand_come_last_used_first_with_their_counts(
    client: FlaskClient, make: Make
) -> None:
    first, second, third = make.filter(), make.filter(), make.filter(prior_uses=7)
    make.brew(filters=[second], brewed_at="2026-09-10T07:30")
    make.brew(filters=[first], brewed_at="2026-09-14T07:30")
    assert (
        "White round no. 1 1 use, the last yesterday in use "
        "White round no. 2 1 use, the last 5 days ago in use "
        f"White round no. {third.number} 7 uses in use"
    ) in says(client, "/filters/")


def test_more_on_hand_than_fit_are_mentioned(client: FlaskClient, make: Make) -> None:
    for _ in range(MOST_ON_HAND + 1):
        make.filter()
    answer = client.get("/filters/")
    assert len(re.findall(r'class="row" href="/filters/\d', answer.text)) == MOST_ON_HAND
    assert f"These are the {MOST_ON_HAND} last used." in page.text(answer.text)


def test_retired_filters_are_paged_newest_first(client: FlaskClient, make: Make) -> None:
    for n in range(ROWS_A_PAGE + 3):
        make.filter(retired_on=date(2026, 3, 1 + n % 3))
    first = client.get("/filters/retired").text
    (older,) = re.findall(r'rel="next" href="([^"]+)"', first)
    second = client.get(older).text
    names = [re.findall(r"<strong>([^<]+)</strong>", html) for html in (first, second)]
    assert [len(part) for part in names] == [ROWS_A_PAGE, 3]
    assert len(set(names[0] + names[1])) == ROWS_A_PAGE + 3
    days = re.findall(r"retired (\d) Mar", first + second)
    assert days == sorted(days, reverse=True)


@pytest.mark.parametrize("start", ["x", "0", "-3", "999999999", "9" * 30])
def test_a_mangled_start_of_a_page_breaks_nothing(
    client: FlaskClient, make: Make, start: str
) -> None:
    pack = make.filter().pack_id
    for address in ("/filters/packs", f"/filters/packs/{pack}"):
        assert client.get(f"{address}?from={start}").status_code == 200


@pytest.mark.parametrize(
    "address",
    ["/filters/999", "/filters/999/edit", "/filters/packs/999", "/filters/packs/999/edit"],
)
def test_what_is_not_there_is_a_plain_404(client: FlaskClient, address: str) -> None:
    assert client.get(address).status_code == 404


@pytest.mark.parametrize(
    "action", ["999/edit", "999/retire", "999/unretire", "999/put-back", "packs/999/edit",
               "packs/999/take", "packs/999/bin", "packs/999/restore"],
)  # fmt: skip
def test_nothing_can_be_done_to_what_is_not_there(client: FlaskClient, action: str) -> None:
    assert client.post(f"/filters/{action}", data=PACK).status_code == 404


# The database is asked a fixed number of questions


def fill(make: Make, count: int) -> None:
    pack, first = make.pack(), make.filter()
    for _ in range(count):
        make.filter(retired_on=date(2026, 3, 1))
        other = make.filter(pack)
        make.pack()
        make.tasting(make.brew(filters=[first, other], press_s=20))


@pytest.mark.parametrize(
    "address", ["/filters/", "/filters/packs", "/filters/retired", "/filters/1", "/filters/packs/1"]
)
def test_a_page_asks_as_much_for_thirty_rows_as_for_three(
    client: FlaskClient, make: Make, statements: Watch, address: str
) -> None:
    asked = []
    for more in (3, 27):
        fill(make, more)
        client.get(address)
        with statements() as seen:
            assert client.get(address).status_code == 200
        asked.append(len(seen))
    assert asked[0] == asked[1]
