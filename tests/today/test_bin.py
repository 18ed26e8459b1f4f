"""The bin: everything that is deleted is in it, in words, and comes back exactly as it was."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import date, timedelta
from typing import Any, NamedTuple

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.paging import ROWS_A_PAGE
from app.models import (
    Ask,
    Bag,
    BagCorrection,
    Base,
    Bean,
    BlindTest,
    Brew,
    Brewer,
    BrewPhoto,
    Experiment,
    Filter,
    FilterPack,
    FrozenSpan,
    Grinder,
    Question,
    Recipe,
    SideBySide,
    Sitting,
    SittingQuestion,
    Taster,
    Tasting,
    Water,
)
from app.today.words import KINDS
from app.web.security import open_to_network
from tests.support import page
from tests.support.asking import blind_test
from tests.support.clock import A_DAY, NOON
from tests.support.factories import Make
from tests.support.phone import MACHINE, Phone, new_code

Watch = Callable[[], AbstractContextManager[list[str]]]
JPEG = b"\xff\xd8\xff\xd9"
ROASTED = date(2026, 1, 1)


class Way(NamedTuple):
    """A kind of thing: how to make one, what puts it in the bin, its page, its words there."""

    table: type[Base]
    made: Callable[[Make], Any]
    deed: str
    shown: str
    words: str


def _brew(make: Make) -> Brew:
    return make.brew(make.bag(roasted_on=ROASTED), dose_g=15.5)


def _experiment(make: Make) -> Experiment:
    brew, taster = make.brew(), make.taster()
    like = {"bag_id": brew.bag_id, "like_id": brew.id, "taster_id": taster.id}
    return make.save(Experiment(entry_key=f"like brew {brew.id}", planned_at=NOON, **like))


def _sitting(make: Make) -> Sitting:
    question = make.save(Question(text="Finer?", asked_at=NOON))
    sitting = make.save(Sitting(entry_key=f"sitting {question.id}", planned_at=NOON))
    row = {"sitting_id": sitting.id, "question_id": question.id, "place": 1, "pair": True}
    make.save(SittingQuestion(**row))
    return sitting


WAYS = {
    "brew": Way(Brew, _brew, "/brews/{id}/bin", "/brews/{id}", "Morning Hill, 5 Jan 2026, 15.5 g"),
    "tasting": Way(
        Tasting, lambda make: make.tasting(_brew(make)), "/tastings/{id}/bin",
        "/tastings/{id}/edit", "Morning Hill, 5 Jan 2026, tasted by Juniper",
    ),
    "photo": Way(
        BrewPhoto, lambda make: make.photo(_brew(make), JPEG, "Bloom"),
        "/brews/{brew_id}/photo/remove", "/brews/{brew_id}", "Morning Hill, 5 Jan 2026: Bloom",
    ),
    "side by side": Way(
        SideBySide,
        lambda make: make.side_by_side(_brew(make), make.brew(make.bag(make.bean(name="Gull")))),
        "/side-by-side/saved/{id}/bin", "/side-by-side/{brew_a_id}/{brew_b_id}",
        "Morning Hill, 5 Jan 2026, beside Gull, 6 Jan 2026",
    ),
    "bag": Way(
        Bag, lambda make: make.bag(roasted_on=ROASTED), "/bags/{id}/bin", "/bags/{id}",
        "Morning Hill, roasted 1 Jan 2026",
    ),
    "freezer days": Way(
        FrozenSpan, lambda make: make.frozen(make.bag(), ROASTED, ROASTED + 4 * A_DAY),
        "/bags/{bag_id}/frozen/{id}/remove", "/bags/{bag_id}/edit",
        "Morning Hill, 1 Jan 2026 to 5 Jan 2026",
    ),
    "correction": Way(
        BagCorrection, lambda make: make.correction(make.bag(), 2.5, why="Found a jar"),
        "/bags/{bag_id}/corrections/{id}/remove", "/bags/{bag_id}/edit",
        "Morning Hill, +2.5 g, 5 Jan 2026: Found a jar",
    ),
    "filter": Way(
        Filter, lambda make: make.filter(note="A crease"), "/filters/{id}/put-back",
        "/filters/{id}", "White round no. 1: A crease",
    ),
    "pack": Way(
        FilterPack, lambda make: make.pack(), "/filters/packs/{id}/bin", "/filters/packs/{id}",
        "White round",
    ),
    "recipe": Way(
        Recipe, lambda make: make.recipe("Iced"), "/recipes/{id}/bin", "/recipes/{id}", "Iced"
    ),
    "brewer": Way(
        Brewer, lambda make: make.brewer(), "/gear/brewers/{id}/bin", "/gear/brewers/{id}",
        "Blue press",
    ),
    "grinder": Way(
        Grinder, lambda make: make.grinder(), "/gear/grinders/{id}/bin", "/gear/grinders/{id}",
        "Hand mill",
    ),
    "water": Way(
        Water, lambda make: make.water(), "/gear/waters/{id}/bin", "/gear/waters/{id}",
        "Kitchen tap",
    ),
    "blind test": Way(BlindTest, blind_test, "/blind/{id}/bin", "/blind/{id}", "Fresh or used"),
    "question": Way(
        Question, lambda make: make.save(Question(text="Finer?", asked_at=NOON)),
        "/questions/{id}/bin", "/questions/{id}", "Finer?",
    ),
    "ask": Way(
        Ask, lambda make: make.save(Ask(text="Finer?", asked_on=ROASTED, noted_at=NOON)),
        "/questions/asks/{id}/bin", "/questions/asks/{id}", "Finer?",
    ),
    "sitting": Way(Sitting, _sitting, "/sittings/{id}/bin", "/sittings/{id}", "Finer?"),
    "experiment": Way(
        Experiment, _experiment, "/experiments/{id}/bin", "/experiments/{id}", "Morning Hill",
    ),
}  # fmt: skip


def says(client: FlaskClient, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return page.text(answer.text)


def columns(journal: Database, row: Any) -> dict[str, Any]:
    with Session(journal.reader) as session:
        found = session.execute(select(row.__table__).where(row.__table__.c.id == row.id))
        return dict(found.mappings().one())


def listed(client: FlaskClient, address: str = "/bin") -> list[str]:
    """The URLs that the page's buttons restore by, from the top down."""
    return re.findall(r'action="([^"]+/restore)"', client.get(address).text)


def pages_of_the_bin(client: FlaskClient) -> list[list[str]]:
    found, address = [], "/bin"
    while address:
        html = client.get(address).text
        found.append(re.findall(r'action="([^"]+/restore)"', html))
        older = re.search(r'rel="next" href="([^"]+)"', html)
        address = older[1].replace("&amp;", "&") if older else ""
    return found


def test_everything_that_can_be_binned_is_in_the_list() -> None:
    """C14: beans and tasters have the column, and no page that puts them in the bin."""
    binnable = {mapper.class_ for mapper in Base.registry.mappers if "binned_at" in mapper.columns}
    assert {way.table for way in WAYS.values()} == binnable - {Bean, Taster}
    assert set(KINDS) == {way.table.__tablename__ for way in WAYS.values()}


@pytest.mark.parametrize("kind", WAYS)
def test_what_is_binned_is_listed_and_restored_as_it_was(
    client: FlaskClient, journal: Database, make: Make, kind: str
) -> None:
    """C14: each kind goes to the bin through its page, and comes back through the bin's."""
    way = WAYS[kind]
    row = way.made(make)
    before, ids = columns(journal, row), vars(row)
    shown = way.shown.format(**ids)
    page_before = client.get(shown).text
    assert client.post(way.deed.format(**ids)).status_code == 303
    assert columns(journal, row)["binned_at"] is not None
    in_the_bin = client.get("/bin").text
    said = page.text(in_the_bin)
    assert way.words in said
    assert "in the bin since 15 Sep 2026, 12:00, put there from this computer" in said
    assert f'href="{shown}"' in in_the_bin
    assert client.get(shown).status_code == 200
    (restore,) = listed(client)
    answer = client.post(restore)
    assert answer.status_code == 303
    assert columns(journal, row) == before
    client.get(answer.location)
    assert _plain(client.get(shown).text) == _plain(page_before)
    assert listed(client) == []
    assert "The bin is empty" in says(client, "/bin")


def _plain(html: str) -> str:
    """The page without what changes with each look: the keys of its forms, their version."""
    return re.sub(r'name="(csrf_token|entry_key|seen)" value="[^"]*"', "", html)


def test_who_put_a_thing_in_the_bin_is_said(app: Flask, make: Make) -> None:
    """C14: from which device; where that was not noted, nothing is made up."""
    brew, before_history = make.brew(), make.brew(binned_at=NOON)
    open_to_network(app, [MACHINE])
    owner, phone = app.test_client(), Phone(app)
    phone.pair(new_code(owner))
    assert phone.ask(f"/brews/{brew.id}/bin", "POST").status_code == 303
    rows = client_rows(owner)
    assert "put there from Kitchen phone" in rows[f"/brews/{brew.id}"]
    assert "put there" not in rows[f"/brews/{before_history.id}"]


def client_rows(client: FlaskClient) -> dict[str, str]:
    html = client.get("/bin").text
    rows = re.findall(r'<li class="row">.*?href="([^"]+)"(.*?)</li>', html, re.S)
    return {address: page.text(rest) for address, rest in rows}


@pytest.mark.parametrize("kind", ["brew", "correction", "filter", "photo", "question"])
def test_sixty_binned_things_of_one_kind_are_all_reachable(
    client: FlaskClient, make: Make, kind: str
) -> None:
    """C14: the bin goes on page by page, also where all were binned in one moment."""
    rows = [WAYS[kind].made(make) for _ in range(60)]
    for row in rows:
        make.put_in_the_bin(row)
    first, second = pages_of_the_bin(client)
    assert (len(first), len(second)) == (ROWS_A_PAGE, 10)
    numbers = [int(address.split("/")[-2]) for address in first + second]
    assert numbers == sorted((row.id for row in rows), reverse=True)


def test_the_bin_is_one_list_with_the_last_binned_first(client: FlaskClient, make: Make) -> None:
    """C14: of every kind, with a way back to newer pages."""
    at = []
    for place in range(8):
        for kind, way in WAYS.items():
            row = way.made(make) if kind != "blind test" else blind_test(make, title=f"{place}")
            row.binned_at = NOON + timedelta(minutes=(7 * len(at)) % 120)
            make.save(row)
            at.append(row.binned_at)
    html, address, times = "", "/bin", []
    while address:
        html = client.get(address).text
        times += re.findall(r"in the bin since [^,]+, (\d\d:\d\d)", html)
        older = re.search(r'rel="next" href="([^"]+)"', html)
        address = older[1] if older else ""
    assert times == [f"{moment:%H:%M}" for moment in sorted(at, reverse=True)]
    newer = re.search(r'rel="prev" href="([^"]+)"', html)
    assert newer
    assert len(listed(client, newer[1])) == ROWS_A_PAGE


def test_a_page_past_the_end_leads_back(client: FlaskClient, make: Make) -> None:
    make.put_in_the_bin(make.water())
    assert "To what was binned last" in says(client, "/bin?before=1-100")


def test_the_bin_asks_as_much_for_thirty_of_each_kind_as_for_three(
    client: FlaskClient, make: Make, statements: Watch
) -> None:
    asked = []
    for more in (3, 27):
        for place in range(more):
            for kind, way in WAYS.items():
                title = f"{more} {place}"
                row = way.made(make) if kind != "blind test" else blind_test(make, title=title)
                make.put_in_the_bin(row)
        visits = []
        # What is kept until a commit is read anew after any, PostgreSQL's own housekeeping too.
        for _ in range(3):
            with statements() as seen:
                assert client.get("/bin").status_code == 200
            visits.append(len(seen))
        asked.append(min(visits))
    assert asked[0] == asked[1] <= 4


def test_what_is_in_the_bin_is_no_first_step(client: FlaskClient, make: Make) -> None:
    """C14: a journal whose only bag is in the bin is told to add one."""
    empty = client.get("/").text
    make.put_in_the_bin(make.bag())
    assert _plain(client.get("/").text) == _plain(empty)
