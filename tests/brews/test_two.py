"""Two brews logged as a pair: one page, filters apart, one save, then side by side."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from app.database import Database
from app.models import Brew
from tests.support import page
from tests.support.clock import NOON
from tests.support.factories import Make

NEW = "/brews/two/new"


def send(client: FlaskClient, **typed: Any) -> Any:
    opened = client.get(NEW)
    assert opened.status_code == 200
    names = {name.replace("_", "-", 1): value for name, value in typed.items()}
    return client.post(NEW, data=page.filled(opened.text, holding="a-dose_g", **names))


def brews(journal: Database) -> list[Brew]:
    with Session(journal.reader) as session:
        query = select(Brew).options(selectinload(Brew.stack)).order_by(Brew.id)
        return list(session.scalars(query))


def test_both_cups_are_filled_in_like_the_last_and_land_side_by_side(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    make.brew(dose_g=13.5, water_g=205, water_temp_c=88, steep_s=95)
    answer = send(client, b_steep_s="2:05")
    assert answer.status_code == 303
    _, a, b = brews(journal)
    assert answer.location == f"/side-by-side/{a.id}/{b.id}"
    assert (a.dose_g, a.water_g, a.water_temp_c, a.steep_s) == (13.5, 205, 88, 95)
    assert (b.dose_g, b.water_g, b.water_temp_c, b.steep_s) == (13.5, 205, 88, 125)
    assert a.brewed_at == b.brewed_at
    shown = page.text(client.get(answer.location).text)
    assert "Both brews saved." in shown


def test_no_filter_is_in_two_brewers(client: FlaskClient, journal: Database, make: Make) -> None:
    """The other cup starts from the filter of the same pack that was used most nearly as often."""
    pack = make.pack()
    often, alike, _fresh = (make.filter(pack) for _ in range(3))
    for used in (alike, often, often):
        make.brew(filters=[used])
    assert send(client).status_code == 303
    a, b = brews(journal)[-2:]
    assert [use.filter_id for use in a.stack] == [often.id]
    assert [use.filter_id for use in b.stack] == [alike.id]


def test_the_same_filter_in_both_is_refused_beside_the_field(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    paper = make.filter(make.pack())
    make.brew(filters=[paper])
    refused = send(client, b_filter_1=str(paper.id), a_note="kept as typed")
    assert refused.status_code == 422
    assert "One filter cannot be in two at once." in page.text(refused.text)
    assert "kept as typed" in refused.text
    assert len(brews(journal)) == 1


@pytest.mark.parametrize(("cup", "name"), [("A", "a_dose_g"), ("B", "b_dose_g")])
def test_a_wrong_amount_is_told_with_its_cup_and_nothing_is_saved(
    client: FlaskClient, journal: Database, make: Make, cup: str, name: str
) -> None:
    make.brew()
    refused = send(client, **{name: "many"})
    assert refused.status_code == 422
    assert f"{cup}: Dose" in page.text(refused.text)
    assert 'value="many"' in refused.text
    assert len(brews(journal)) == 1


def test_sent_twice_it_is_saved_once(client: FlaskClient, journal: Database, make: Make) -> None:
    make.brew()
    values = page.filled(client.get(NEW).text, holding="a-dose_g")
    first, again = (client.post(NEW, data=values) for _ in range(2))
    assert first.status_code == again.status_code == 303
    assert len(brews(journal)) == 3


def test_an_empty_journal_is_sent_to_its_first_brew(client: FlaskClient) -> None:
    assert client.get(NEW).location == "/brews/new"


@pytest.mark.parametrize("last", ["Left press", "Right press"])
def test_two_alike_brewers_are_taken_left_and_right_and_read_as_a_fair_test(
    client: FlaskClient, journal: Database, make: Make, last: str
) -> None:
    """Whichever the last brew was made in; the other of the kind that is in the bin is not."""
    right = make.brewer(name="Right press")
    left = make.brewer(name="Left press", alike_to_id=right.id)
    make.brewer(name="Left, cracked", alike_to_id=right.id, binned_at=NOON)
    make.brew(brewer=left if last == left.name else right, dose_g=13.5, water_g=205)
    answer = send(client, b_dose_g="15.5")
    _, a, b = brews(journal)
    assert (a.brewer_id, b.brewer_id) == (left.id, right.id)
    assert "Do you own two of it?" not in client.get(NEW).text
    shown = page.text(client.get(answer.location).text)
    assert "one thing differs, the dose" in shown
    assert "The two brewers are alike and count as one." in shown


def test_a_filter_stays_in_the_brewer_it_sits_in(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    left = make.brewer(name="Left press")
    right = make.brewer(name="Right press", alike_to_id=left.id)
    pack = make.pack()
    papers = {brewer.id: [make.filter(pack)] for brewer in (left, right)}
    papers[right.id].append(make.filter(pack))
    for brewer in (left, right):
        make.brew(brewer=brewer, filters=papers[brewer.id])
    for _ in range(2):  # the second time, what the last brew was is the pair's B
        assert send(client).status_code == 303
        for brew in brews(journal)[-2:]:
            assert [use.filter_id for use in brew.stack][: len(papers[brew.brewer_id])] == [
                paper.id for paper in papers[brew.brewer_id]
            ]


def test_one_brewer_is_taken_for_both(client: FlaskClient, journal: Database, make: Make) -> None:
    make.brewer(name="Another, not alike")
    make.brew()
    assert "Do you own two of it?" in client.get(NEW).text
    send(client)
    assert len({brew.brewer_id for brew in brews(journal)}) == 1
