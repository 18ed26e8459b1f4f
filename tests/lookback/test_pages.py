"""Looking back: days, months, bags and best cups, held against journals made by hand."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import UTC, date, datetime

import pytest
from flask.testing import FlaskClient

from app.models import BlindTaster
from tests.support import page
from tests.support.asking import blind_test, says, trial
from tests.support.clock import A_DAY, FIRST_BREW, NOON
from tests.support.factories import Make

Watch = Callable[[], AbstractContextManager[list[str]]]
PAGES = ("/looking-back/", "/looking-back/month", "/looking-back/bags", "/looking-back/best")
PICTURE = 'class="still"'


def plain(client: FlaskClient, address: str) -> str:
    return says(client, address).replace("\xa0", " ")


def at(*moment: int) -> datetime:
    return datetime(*moment, tzinfo=UTC)  # type: ignore[misc,arg-type]


@pytest.mark.parametrize("address", PAGES)
def test_an_empty_journal_says_what_is_missing(client: FlaskClient, address: str) -> None:
    assert re.search("No brews yet|Nothing was brewed|No scored cups", says(client, address))
    assert PICTURE not in client.get(address).text


@pytest.mark.parametrize("cups", [1, 2])
def test_one_cup_and_two_cups_draw_nothing(client: FlaskClient, make: Make, cups: int) -> None:
    for _ in range(cups):
        make.tasting(make.brew())
    for address in PAGES:
        assert PICTURE not in client.get(address).text
    said = plain(client, "/looking-back/bags?along=ratio")
    assert "A picture takes 3 scored cups" in said
    assert f"{cups} cup" in said
    assert "too few to draw" in plain(client, "/looking-back/bags?along=season")


def test_a_year_counts_each_day_and_leads_to_its_brews(client: FlaskClient, make: Make) -> None:
    """The leap day, the ends of the year, and a brew in the bin."""
    for day in (at(2024, 1, 1, 8), at(2024, 2, 29, 8), at(2024, 2, 29, 9), at(2024, 12, 31, 8)):
        make.brew(brewed_at=day)
    make.brew(brewed_at=at(2023, 12, 31, 8))
    make.brew(brewed_at=at(2024, 3, 1, 8), binned_at=at(2024, 3, 2, 8))
    said = plain(client, "/looking-back/?year=2024")
    assert "4 brews in 2024, on 3 of 366 days" in said
    assert "29 ×2" in said
    assert "February 2 brews" in said
    assert "March 0 brews" in said
    assert "/brews/?on=2024-02-29" in client.get("/looking-back/").text
    assert client.get("/brews/?on=2024-02-29").location == (
        "/brews/?since=2024-02-29&until=2024-02-29"
    )
    led_to = client.get("/brews/?since=2024-02-29&until=2024-02-29").text
    assert len(re.findall(r'class="row" href="/brews/\d+"', led_to)) == 2
    assert "1 brew in 2023, on 1 of 365 days" in plain(client, "/looking-back/?year=2023")


def test_a_brew_belongs_to_the_day_where_it_was_noted(client: FlaskClient, make: Make) -> None:
    """23:30 UTC on the last of April is the first of May in Vienna, and still April in Lisbon's
    winter time."""
    late = at(2025, 4, 30, 23, 30)
    make.brew(brewed_at=late, zone="Europe/Vienna")
    make.brew(brewed_at=late, zone="Atlantic/Azores")
    make.tasting(make.brew(brewed_at=late, zone="Europe/Vienna"), tasted_at=late,
                 zone="Europe/Vienna", liking=7)  # fmt: skip
    may = plain(client, "/looking-back/month?year=2025&month=5")
    assert "Brews 2 1 more than in April" in may
    assert "Juniper 7.0 over 1 score no score in April" in may
    april = plain(client, "/looking-back/month?year=2025&month=4")
    assert "Brews 1 1 more than in March" in april
    assert "No cup was scored." in april


def test_a_month_in_numbers_beside_the_one_before(client: FlaskClient, make: Make) -> None:
    """January beside December: grams, bags, filters, what reuse may have spared, likings."""
    bag = make.bag(opened_on=date(2024, 12, 30), finished_on=date(2025, 1, 31))
    make.bag(opened_on=date(2025, 1, 1), finished_on=date(2025, 2, 1))
    paper = make.filter(pack=make.pack(mass_g=0.4))
    other = make.filter(pack=make.pack(mass_g=None), prior_uses=2)
    metal = make.filter(pack=make.pack(material="metal", mass_g=9.0))
    poured = {"bag": bag, "dose_g": 14.5, "water_g": 215.0}
    make.tasting(make.brew(brewed_at=at(2024, 12, 31, 8), filters=[paper], **poured), liking=5,
                 tasted_at=at(2024, 12, 31, 9))  # fmt: skip
    make.brew(brewed_at=at(2025, 1, 1, 8), filters=[paper], **poured)
    make.brew(brewed_at=at(2025, 1, 2, 8), filters=[paper, other], bypass_g=20.0, **poured)
    last = make.brew(brewed_at=at(2025, 1, 31, 8), filters=[metal], **poured)
    for liking in (6, 7):
        make.tasting(last, liking=liking, tasted_at=at(2025, 1, 31, 9))
    said = plain(client, "/looking-back/month?year=2025&month=1")
    for line in (
        "Brews 3 2 more than in December",
        "Coffee 44 g 29 g more than in December",  # 43.5 and 14.5
        "Water and ice 665 g 450 g more than in December",
        "Bags opened 1 as in December",
        "Bags finished 1 1 more than in December",
        "Filters used 3 2 more than in December",
        "Cups tasted 1 as in December",
        "Blind tests ended 0 as in December",
        "Juniper 6.5 over 2 scores 5.0 over 1 score in December",
        "January 2025: 3 uses of papers or cloths that had been used before",
        "0 to 0.8 g of waste for the 2 whose weight is noted",
        "December: none.",
    ):
        assert line in said
    assert "cause" in said


def test_a_first_use_of_the_month_spares_nothing(client: FlaskClient, make: Make) -> None:
    paper = make.filter(pack=make.pack(mass_g=0.4))
    for day in (3, 4):
        make.brew(brewed_at=at(2025, 1, day, 8), filters=[paper])
    make.brew(brewed_at=at(2024, 12, 1, 8), binned_at=at(2025, 1, 1, 8), filters=[paper])
    said = plain(client, "/looking-back/month?year=2025&month=1")
    assert "1 use of papers or cloths that had been used before" in said


def test_best_cups_are_one_tasters_mean(client: FlaskClient, make: Make) -> None:
    """Two tastings of a cup count as their mean; its repeats are told; tasters are not pooled."""
    revision = make.revision(make.recipe())
    bag = make.bag()
    same = {"bag": bag, "revision_id": revision.id}
    lucky, repeat = make.brew(**same), make.brew(**same)
    make.tasting(lucky, liking=9)
    make.tasting(repeat, liking=4)
    twice = make.brew()
    for liking in (9, 7):
        make.tasting(twice, liking=liking)
    make.tasting(twice, make.taster(name="Sage"), liking=2)
    said = plain(client, "/looking-back/best")
    assert "mean of 2 tastings" in said
    assert "1 repeat of it: mean 4.0" in said
    assert "1 repeat of it: mean 9.0" in said
    assert re.findall(r"liking (\S+) of 9", said) == ["9", "8", "4", "2"]
    assert f'/brews/new?like={lucky.id}"' in client.get("/looking-back/best").text


def test_best_cups_are_searched(client: FlaskClient, make: Make) -> None:
    sage, brewer = make.taster(name="Sage"), make.brewer(name="Tall cone")
    bean = make.bean(name="Far Terrace")
    make.tasting(make.brew(), liking=8)
    make.tasting(make.brew(brewer=brewer), liking=7)
    make.tasting(make.brew(bag=make.bag(bean)), liking=6)
    make.tasting(make.brew(), sage, liking=5)

    def found(**asked: object) -> list[str]:
        query = "&".join(f"{name}={value}" for name, value in asked.items())
        return re.findall(r"liking (\S+) of 9", plain(client, f"/looking-back/best?{query}"))

    assert found() == ["8", "7", "6", "5"]
    assert found(taster=sage.id) == ["5"]
    assert found(brewer=brewer.id) == ["7"]
    assert found(bean=bean.id) == ["6"]
    assert found(at_least=6.5, at_most=7) == ["7"]
    assert "No cup fits" in plain(client, f"/looking-back/best?taster={sage.id}&at_least=6")


def test_what_is_beyond_those_looked_at_is_not_guessed(client: FlaskClient, make: Make) -> None:
    """Ninety tastings of nine: one of them, tasted again at one, is no longer among the best."""
    for _ in range(95):
        make.tasting(make.brew(), liking=8)
    mixed = make.brew()
    make.tasting(mixed, liking=9)
    make.tasting(mixed, liking=1)
    likings = re.findall(r"liking (\S+) of 9", plain(client, "/looking-back/best"))
    assert likings == ["8"] * 30


def test_bags_share_their_axes(client: FlaskClient, make: Make) -> None:
    for rest in (5, 30):
        roasted = FIRST_BREW.date() - rest * A_DAY
        bag = make.bag(roasted_on=roasted)
        for day in range(4):
            make.tasting(make.brew(bag=bag, brewed_at=FIRST_BREW + day * A_DAY), liking=5 + day)
    html = client.get("/looking-back/bags").text
    pictures = re.findall(r'<svg class="still.*?</svg>', html, re.S)
    ticks = [re.findall(r">(\d+)</text>", picture) for picture in pictures]
    assert len(ticks) == 2
    assert ticks[0] == ticks[1]
    assert "they do not say what made a cup better" in plain(client, "/looking-back/bags")
    for along in ("use", "ratio", "strength", "season"):
        assert client.get(f"/looking-back/bags?along={along}").status_code == 200


def test_tastings_after_a_reveal_and_in_the_bin_do_not_count(
    client: FlaskClient, make: Make
) -> None:
    brew, test = make.brew(), blind_test(make)
    sage = make.taster(name="Sage")
    make.save(BlindTaster(test_id=test.id, taster_id=sage.id, joined_at=NOON))
    shown = trial(make, test, sage, 1, "AB", answer=2)
    make.tasting(brew, liking=9, binned_at=FIRST_BREW)
    make.tasting(brew, liking=9, after_trial_id=shown.id)
    assert "No scored cups yet" in plain(client, "/looking-back/best")
    assert "No scored cups here" in plain(client, "/looking-back/bags")
    month = f"{brew.brewed_on:year=%Y&month=%m}"
    assert "No cup was scored." in plain(client, f"/looking-back/month?{month}")


def test_a_blind_test_ends_in_the_month_of_who_looks(client: FlaskClient, make: Make) -> None:
    blind_test(make, "rr", ended="stopped", stopped_at=at(2025, 4, 30, 23, 30), stopped_why="ill")
    client.set_cookie("zone", "Europe/Vienna")
    said = plain(client, "/looking-back/month?year=2025&month=5")
    assert "Blind tests ended 1 1 more than in April" in said


@pytest.mark.parametrize("address", [*PAGES, "/looking-back/bags?along=season"])
def test_statements_do_not_grow_with_the_journal(
    client: FlaskClient, make: Make, statements: Watch, address: str
) -> None:
    def asked() -> int:
        client.get(address)
        with statements() as sent:
            assert client.get(address).status_code == 200
        return len(sent)

    def brew() -> None:
        make.tasting(make.brew(bag=make.bag(), filters=[make.filter()]))

    brew()
    few = asked()
    for _ in range(12):
        brew()
    assert asked() == few


@pytest.mark.parametrize(
    "query",
    ["year=0", "year=99999", "year=x&month=13", "month=-1", "year=1970&month=1",
     "year=2200&month=12", "before=-4", "before=99999999999999999999", "along=%27",
     "taster=999999", "taster=1e9"],
)  # fmt: skip
def test_no_address_breaks_it(client: FlaskClient, make: Make, query: str) -> None:
    make.tasting(make.brew())
    for address in PAGES:
        assert client.get(f"{address}?{query}").status_code in (200, 422)


def test_a_wrong_liking_is_told_beside_its_field(client: FlaskClient, make: Make) -> None:
    make.tasting(make.brew())
    answer = client.get("/looking-back/best?at_least=eleven&at_most=11")
    assert answer.status_code == 422
    assert 'value="eleven"' in answer.text
    assert 'id="at_least-error"' in answer.text
    assert page.text(answer.text)
