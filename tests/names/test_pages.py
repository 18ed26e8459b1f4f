"""Names: renamed, made one, and taken back exactly; sealed records stay as they were."""

from __future__ import annotations

import csv
import re
from html import unescape
from io import StringIO
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.names import changing, taking_back
from app.journal.names.alike import suggest
from app.journal.names.listing import KINDS, Named, NameKind, listed
from app.models import Base, Bean, NameChange, Taster, Tasting
from tests.support import page
from tests.support.asking import ask, blind_test, says, tie
from tests.support.clock import NOON
from tests.support.factories import Make

NAMED = ("taster", "bean", "bag", "tasting", "trial", "blind_taster")


def stored(journal: Database) -> dict[str, list[dict[str, Any]]]:
    """What the tables that carry names hold, row for row."""
    with Session(journal.reader) as session:
        return {
            name: [
                dict(row._mapping) for row in session.execute(select(table).order_by(table.c.id))
            ]
            for name in NAMED
            for table in (Base.metadata.tables[name],)
        }


def rename(client: FlaskClient, address: str, name: str) -> Any:
    return client.post(
        address, data=page.filled(client.get(address).text, holding="name", name=name)
    )


def merge(client: FlaskClient, kind: str, one: int, other: int) -> Any:
    address = f"/names/{kind}/{one}/into"
    opened = client.get(f"{address}?other={other}").text
    return client.post(address, data=page.form(opened, holding="other_was"))


def take_back(client: FlaskClient, number: int = 1) -> str:
    answer = client.post(f"/names/changes/{number}/take-back", follow_redirects=True)
    assert answer.status_code == 200
    return page.text(answer.text)


def add(journal: Database, change: Any) -> None:
    with Session(journal.writer) as session, session.begin():
        change(session)


# Tasters


def test_a_taster_is_renamed_everywhere_and_back(client: FlaskClient, make: Make) -> None:
    brew, taster = make.brew(), make.taster(name="Junipr")
    make.tasting(brew, taster)
    blind_test(make, "rw", taster, pouring="helper")
    done = rename(client, f"/names/taster/{taster.id}", "Juniper")
    assert done.status_code == 303
    assert "Junipr is called Juniper" in says(client, done.location)
    for address in (f"/brews/{brew.id}", "/tastings/", "/tasters/", "/blind/1"):
        assert "Juniper" in says(client, address)
        assert "Junipr " not in says(client, address)
    assert "Junipr has its name back." in take_back(client)
    assert "Junipr" in says(client, f"/brews/{brew.id}")


def test_a_name_that_another_has_is_refused_beside_the_field(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    one, other = make.taster(name="Ann"), make.taster(name="Ánna")
    before = stored(journal)
    answer = rename(client, f"/names/taster/{one.id}", "anna")
    assert answer.status_code == 422
    said = page.text(answer.text)
    assert "There is a taster of this name already: Ánna." in said
    assert page.form(answer.text, holding="name")["name"] == ["anna"]
    assert f"/names/taster/{one.id}/into?other={other.id}" in answer.text
    assert stored(journal) == before


@pytest.mark.parametrize("typed", ["", "  ", "x" * 121])
def test_an_empty_or_endless_name_is_refused(
    client: FlaskClient, make: Make, journal: Database, typed: str
) -> None:
    taster, before = make.taster(), None
    before = stored(journal)
    assert rename(client, f"/names/taster/{taster.id}", typed).status_code == 422
    assert stored(journal) == before


def test_a_form_that_is_out_of_date_renames_nothing(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    address = f"/names/taster/{make.taster(name='Ann').id}"
    opened = client.get(address).text
    rename(client, address, "Anna")
    answer = client.post(address, data=page.filled(opened, holding="name", name="Anne"))
    assert answer.status_code == 422
    assert "it is called Anna" in page.text(answer.text)
    with Session(journal.reader) as session:
        assert session.scalars(select(Taster.name)).all() == ["Anna"]


def test_the_preview_says_what_moves_and_what_changes(client: FlaskClient, make: Make) -> None:
    one, other = make.taster(name="Jun"), make.taster(name="Juniper")
    shared = make.brew()
    for brew in (shared, make.brew(), make.brew()):
        make.tasting(brew, one)
    make.tasting(shared, other)
    first, second = blind_test(make, "rw", one), blind_test(make, "rrr", other, title="Second")
    question = ask(client)
    tie(client, question, "blind_test", first)
    tie(client, question, "blind_test", second)
    said = says(client, f"/names/taster/{one.id}/into?other={other.id}")
    assert "3 tastings of Jun become Juniper’s." in said
    assert "The sealed record of 1 blind test stays as it is" in said
    assert "1 question with blind tests of both will say that they hold for Juniper alone." in said
    assert "Both tasted 1 brew: are they two people?" in said


def test_two_tasters_become_one_and_two_again_with_what_was_added_since(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    one, other = make.taster(name="Jun"), make.taster(name="Juniper")
    own = [make.tasting(make.brew(), one) for _ in range(3)]
    make.tasting(make.brew(), other)
    before = stored(journal)
    assert merge(client, "taster", one.id, other.id).status_code == 303
    with Session(journal.reader) as session:
        assert set(session.scalars(select(Tasting.taster_id))) == {other.id}
    assert "4 tastings" in says(client, "/names/")
    assert "Jun " not in page.text(client.get("/brews/1/taste").text)
    new = make.tasting(make.brew(), other)
    said = take_back(client)
    assert "Jun has its name back. 3 tastings came back. What was added since stays" in said
    after = stored(journal)
    added = [row for row in after["tasting"] if row not in before["tasting"]]
    assert [row for row in after["tasting"] if row not in added] == before["tasting"]
    assert {name: after[name] for name in ("taster", "bag")} == {
        name: before[name] for name in ("taster", "bag")
    }
    with Session(journal.reader) as session:
        assert session.get_one(Tasting, new.id).taster_id == other.id
        assert {session.get_one(Tasting, row.id).taster_id for row in own} == {one.id}


def test_a_tasting_given_to_somebody_else_since_stays_there(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    one, other, third = (make.taster(name=name) for name in ("Jun", "Juniper", "Sage"))
    first, second = make.tasting(make.brew(), one), make.tasting(make.brew(), one)
    merge(client, "taster", one.id, other.id)
    opened = client.get(f"/tastings/{first.id}/edit").text
    sent = page.filled(opened, holding="taster_id", taster_id=str(third.id))
    assert client.post(f"/tastings/{first.id}/edit", data=sent).status_code == 303
    assert "1 tasting came back; 1 tasting had been changed since and stay" in take_back(client)
    with Session(journal.reader) as session:
        assert session.get_one(Tasting, first.id).taster_id == third.id
        assert session.get_one(Tasting, second.id).taster_id == one.id


def test_a_sealed_record_keeps_its_taster_and_shows_the_name(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    one, other = make.taster(name="Jun"), make.taster(name="Juniper")
    test = blind_test(make, "rrrrw", one)
    before = stored(journal)
    assert merge(client, "taster", one.id, other.id).status_code == 303
    after = stored(journal)
    assert (after["trial"], after["blind_taster"]) == (before["trial"], before["blind_taster"])
    assert "0 tastings, 1 blind test" in says(client, "/names/")
    shown = says(client, f"/blind/{test.id}")
    assert "Juniper" in shown
    assert not re.search(r"\bJun\b", shown)
    take_back(client)
    assert re.search(r"\bJun\b", says(client, f"/blind/{test.id}"))
    assert stored(journal) == before


def test_questions_hold_for_the_person_and_not_for_two_names(
    client: FlaskClient, make: Make
) -> None:
    one, other = make.taster(name="Jun"), make.taster(name="Juniper")
    question = ask(client)
    for taster, title in ((one, "First"), (other, "Second")):
        tie(client, question, "blind_test", blind_test(make, "r" * 12, taster, title=title))
    assert "these tasters: Jun and Juniper" in says(client, question)
    merge(client, "taster", one.id, other.id)
    assert "It holds for Juniper; others" in says(client, question)


def test_two_who_sat_at_one_test_are_never_one(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    one, other = make.taster(name="Jun"), make.taster(name="Juniper")
    test = blind_test(make, "rw", one, several_tasters=True)
    seat(journal, test.id, other.id)
    before = stored(journal)
    said = says(client, f"/names/taster/{one.id}/into?other={other.id}")
    assert "both have a place in “Fresh or used”" in said
    assert "So they stay two." in said
    forced = {"other": str(other.id), "was": "Jun", "other_was": "Juniper"}
    answer = client.post(f"/names/taster/{one.id}/into", data=forced)
    assert answer.status_code == 422
    assert stored(journal) == before


def test_nobody_sits_twice_at_a_test_under_two_names(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    one, other, third = (make.taster(name=name) for name in ("Jun", "Juniper", "Sage"))
    test = blind_test(make, "", one, several_tasters=True)
    seat(journal, test.id, third.id)
    merge(client, "taster", one.id, other.id)
    opened = client.get(f"/blind/{test.id}").text
    sent = page.filled(opened, holding="more_names", more_names="Juniper, Jun")
    (address,) = re.findall(r'action="([^"]*tasters[^"]*)"', opened)[:1]
    client.post(unescape(address), data=sent)
    assert len(stored(journal)["blind_taster"]) == 2


def test_an_old_name_that_is_typed_again_is_the_person(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    one, other, brew = make.taster(name="Jun"), make.taster(name="Juniper"), make.brew()
    merge(client, "taster", one.id, other.id)
    opened = client.get(f"/brews/{brew.id}/taste").text
    sent = page.filled(opened, holding="new_taster", new_taster="jun", taster_id="", liking="6")
    assert client.post(f"/brews/{brew.id}/taste", data=sent).status_code == 303
    with Session(journal.reader) as session:
        assert session.scalars(select(Tasting.taster_id)).all() == [other.id]


def test_what_was_done_since_has_to_be_taken_back_first(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    a, b, c = (make.taster(name=name) for name in ("Jun", "June", "Juniper"))
    for taster in (a, b, c):
        make.tasting(make.brew(), taster)
    test = blind_test(make, "rw", a)
    before = stored(journal)
    merge(client, "taster", a.id, b.id)
    merge(client, "taster", b.id, c.id)
    assert "Juniper" in says(client, f"/blind/{test.id}")
    between = stored(journal)
    assert "June was made one with another taster since: take that back" in take_back(client, 1)
    assert stored(journal) == between
    assert "June has its name back. 2 tastings came back" in take_back(client, 2)
    assert "June" in says(client, f"/blind/{test.id}")
    assert "Jun has its name back. 1 tasting came back" in take_back(client, 1)
    assert stored(journal) == before
    assert "This was taken back already." in take_back(client, 1)


def test_a_name_given_to_another_since_is_in_the_way(client: FlaskClient, make: Make) -> None:
    one, other, third = (make.taster(name=name) for name in ("Jun", "Juniper", "Sage"))
    merge(client, "taster", one.id, other.id)
    rename(client, f"/names/taster/{third.id}", "Jun")
    assert "There is another taster called Jun now: rename that one first." in take_back(client, 1)


def test_an_address_of_groups_with_the_old_taster_goes_to_the_new(
    client: FlaskClient, make: Make
) -> None:
    one, other = make.taster(name="Jun"), make.taster(name="Juniper")
    make.tasting(make.brew(), one)
    merge(client, "taster", one.id, other.id)
    answer = client.get(f"/groups/?taster={one.id}&a-days=weekdays&b-days=weekends")
    assert answer.status_code == 303
    assert f"taster={other.id}" in answer.location


# Beans and roasters


def test_two_beans_become_one_and_what_differs_is_told(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    one = make.bean(name="Morning Hil", origin="North slope", note="Sweet", robusta_pct=20.0)
    other = make.bean(name="Morning Hill", origin="South slope")
    same_day = {"roasted_on": NOON.date()}
    bag, _ = make.bag(one, **same_day), make.bag(other, **same_day)
    make.brew(bag)
    before = stored(journal)
    said = says(client, f"/names/bean/{one.id}/into?other={other.id}")
    assert "1 bag with 1 brew become Morning Hill." in said
    assert "Origin: “North slope” is not taken over, “South slope” stays." in said
    assert "Note: “Sweet” is not taken over" in said
    assert "20 % robusta becomes With caffeine, 0 % robusta: caffeine of 1 brew" in said
    assert "Both have a bag roasted on 15 Sep 2026; they stay two bags." in said.replace(
        "\xa0", " "
    )
    assert merge(client, "bean", one.id, other.id).status_code == 303
    assert "Morning Hill" in says(client, f"/bags/{bag.id}")
    assert "2 bags, 1 brew" in says(client, "/names/")
    new = make.bag(other)
    assert "1 bag came back" in take_back(client)
    after = stored(journal)
    assert [row for row in after["bag"] if row["id"] != new.id] == before["bag"]
    assert after["bean"] == before["bean"]


def test_a_roaster_is_renamed_in_every_bean_and_back(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    beans = [make.bean(name=f"Bean {n}", roaster="Lantern Yrd") for n in range(3)]
    make.bean(name="Other", roaster="Lantern Yard")
    before = stored(journal)
    answer = rename(client, f"/names/roaster/{beans[0].id}", "Lantern Yard")
    assert answer.status_code == 422
    assert merge(client, "roaster", beans[0].id, beans[2].id + 1).status_code == 303
    with Session(journal.reader) as session:
        assert set(session.scalars(select(Bean.roaster))) == {"Lantern Yard"}
    add(journal, lambda session: setattr(session.get_one(Bean, beans[1].id), "roaster", "Third"))
    assert "2 beans came back; 1 bean had been changed since" in take_back(client)
    kept = [row for row in stored(journal)["bean"] if row["id"] != beans[1].id]
    assert kept == [row for row in before["bean"] if row["id"] != beans[1].id]


def test_the_form_of_a_bag_opened_before_its_bean_was_renamed_clashes(
    client: FlaskClient, make: Make
) -> None:
    bean = make.bean(name="Morning Hil")
    bag = make.bag(bean)
    opened = client.get(f"/bags/{bag.id}/edit").text
    rename(client, f"/names/bean/{bean.id}", "Morning Hill")
    sent = page.filled(opened, holding="net_g", note="Opened late")
    answer = client.post(f"/bags/{bag.id}/edit", data=sent)
    assert answer.status_code == 409
    assert "Morning Hill" in says(client, f"/bags/{bag.id}")


# What is suggested, and the list


def named(name: str, of: int = 1, more: str = "") -> Named:
    return Named("taster", sum(map(ord, name)), name, more, ((of, "tasting"),))


def test_what_is_spelled_alike_is_suggested_the_rarer_one_first() -> None:
    names = [named("Juniper", 9), named("Junipr"), named("Sage"), named("ságe", 4), named("Thyme")]
    found = {(one.name, other.name) for one, other in suggest(names)}
    assert found == {("Junipr", "Juniper"), ("Sage", "ságe")}


def test_numbers_tell_names_apart() -> None:
    assert suggest([named("Lot 12"), named("Lot 13"), named("Blend", more="2024")]) == []


def test_a_short_name_may_be_the_beginning_of_a_long_one() -> None:
    ((one, other),) = suggest([named("Sam"), named("Samuel", 3), named("Al"), named("Alma")])
    assert (one.name, other.name) == ("Sam", "Samuel")


def test_the_list_suggests_and_two_taps_make_them_one(client: FlaskClient, make: Make) -> None:
    for name, cups in (("Juniper", 3), ("Junipr", 1)):
        taster = make.taster(name=name)
        for _ in range(cups):
            make.tasting(make.brew(), taster)
    listed_names = client.get("/names/").text
    assert "Perhaps one" in page.text(listed_names)
    link = unescape(re.findall(r'href="(/names/taster/\d+/into[^"]+)"', listed_names)[0])
    opened = client.get(link).text
    values = page.form(opened, holding="other_was")
    done = client.post(link.partition("?")[0], data=values, follow_redirects=True)
    assert "Junipr is one with Juniper. It can be taken back below." in page.text(done.text)
    assert "4 tastings" in page.text(done.text)


def test_the_same_form_sent_twice_counts_once(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    one, other = make.taster(name="Jun"), make.taster(name="Juniper")
    make.tasting(make.brew(), one)
    address = f"/names/taster/{one.id}/into"
    values = page.form(client.get(f"{address}?other={other.id}").text, holding="other_was")
    for _ in range(2):
        client.post(address, data=values)
    with Session(journal.reader) as session:
        assert len(session.scalars(select(NameChange)).all()) == 1


def test_names_are_a_table(client: FlaskClient, make: Make) -> None:
    make.tasting(make.brew(), make.taster(name="=Jun"))
    answer = client.get("/names/?as=csv")
    rows = list(csv.DictReader(StringIO(answer.text, newline="")))
    assert {row["kind"] for row in rows} == {"taster", "bean", "roaster"}
    (taster,) = (row for row in rows if row["kind"] == "taster")
    assert (taster["name"], taster["tastings"], taster["bags"]) == ("'=Jun", "1", "")


# Whatever is done, taken back in turn, leaves the journal as it was


@pytest.mark.parametrize("seed", range(4))
def test_everything_taken_back_in_turn_is_as_it_was(
    journal: Database, make: Make, seed: int
) -> None:
    from random import Random

    lot = Random(seed)
    tasters = [make.taster(name=f"Taster {n}") for n in range(5)]
    beans = [make.bean(name=f"Bean {n}", roaster=f"Roaster {n % 3}") for n in range(5)]
    bags = [make.bag(lot.choice(beans)) for _ in range(8)]
    for _ in range(20):
        make.tasting(make.brew(lot.choice(bags)), lot.choice(tasters))
    for n in range(3):
        blind_test(make, "rw", lot.choice(tasters), title=f"Test {n}")
    before, done = stored(journal), []
    with Session(journal.writer, expire_on_commit=False) as session:
        for step in range(12):
            kind: NameKind = lot.choice(KINDS)
            names = listed(session, kind)
            if len(names) > 1 and lot.random() < 0.6:
                change = changing.merge(session, *lot.sample(names, 2), NOON)
            else:
                change = changing.rename(session, lot.choice(names), f"New {step}", NOON)
            done.append(change)
            session.commit()
        assert any(one.what == "merged" for one in done)
        for change in reversed(done):
            taking_back.take_back(session, change, NOON)
            session.commit()
    assert stored(journal) == before


def seat(journal: Database, test_id: int, taster_id: int) -> None:
    from app.models import BlindTaster

    add(journal, lambda session: session.add(
        BlindTaster(test_id=test_id, taster_id=taster_id, joined_at=NOON)
    ))  # fmt: skip
