"""Two people change one thing: the second is told, and chooses; earlier versions come back."""

from __future__ import annotations

from typing import Any

from flask.testing import FlaskClient
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Bag, Bean, Brew
from tests.support import page
from tests.support.factories import Make


def opened(client: FlaskClient, address: str, holding: str, **typed: Any) -> page.Values:
    return page.filled(client.get(address).text, holding=holding, **typed)


def one(journal: Database, model: type[Any]) -> Any:
    with Session(journal.reader) as session:
        return session.scalars(select(model)).first()


def count(journal: Database, model: type[Any]) -> int:
    with Session(journal.reader) as session:
        return session.scalar(select(func.count()).select_from(model)) or 0


def test_the_second_of_two_tabs_is_told_and_nothing_is_overwritten(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """C2: a note saved in one tab is not undone by the dose saved in another."""
    brew = make.brew(note="as logged")
    address = f"/brews/{brew.id}/edit"
    first = opened(client, address, "dose_g", note="sweet, long")
    second = opened(client, address, "dose_g", dose_g="19")
    assert client.post(address, data=first).status_code == 303
    told = client.post(address, data=second)
    assert told.status_code == 409
    words = page.text(told.text)
    assert "sweet, long" in words
    assert "as logged" in words
    assert "19 g" in words
    assert one(journal, Brew).note == "sweet, long"

    # Only they changed the note, only I the dose: that is what is chosen at first.
    assert client.post(address, data=page.form(told.text, holding="seen")).status_code == 303
    brew = one(journal, Brew)
    assert (brew.note, brew.dose_g) == ("sweet, long", 19.0)


def test_all_of_mine_can_be_saved_over_theirs_which_stays_among_the_earlier_versions(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    brew = make.brew(note="as logged")
    address = f"/brews/{brew.id}/edit"
    first = opened(client, address, "dose_g", note="theirs")
    second = opened(client, address, "dose_g", note="mine")
    client.post(address, data=first)
    told = client.post(address, data=second)
    client.post(address, data=page.form(told.text, holding="seen") | {"take_all": ["mine"]})
    assert one(journal, Brew).note == "mine"

    history = client.get(f"/history/brew/{brew.id}").text
    assert "theirs" in page.text(history)
    assert "as logged" in page.text(history)
    earlier = opened(client, f"{address}?before_change=2", "dose_g")
    assert earlier["note"] == ["theirs"]
    assert client.post(address, data=earlier).status_code == 303
    assert one(journal, Brew).note == "theirs"


def test_a_thing_binned_meanwhile_says_so(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    brew = make.brew(note="as logged")
    address = f"/brews/{brew.id}/edit"
    sent = opened(client, address, "dose_g", note="mine")
    client.post(f"/brews/{brew.id}/bin")
    told = client.post(address, data=sent)
    assert told.status_code == 409
    assert "put in the bin" in page.text(told.text)
    assert one(journal, Brew).note == "as logged"


def test_a_bean_changed_through_another_bag_is_not_overwritten(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    bean = make.bean(name="Red hill")
    one_bag, other = make.bag(bean), make.bag(bean)
    first = opened(client, f"/bags/{one_bag.id}/edit", "net_g", origin="the north")
    second = opened(client, f"/bags/{other.id}/edit", "net_g", note="half gone")
    assert client.post(f"/bags/{one_bag.id}/edit", data=first).status_code == 303
    told = client.post(f"/bags/{other.id}/edit", data=second)
    assert told.status_code == 409
    assert "the north" in page.text(told.text)
    client.post(f"/bags/{other.id}/edit", data=page.form(told.text, holding="seen"))
    assert one(journal, Bean).origin == "the north"


def test_a_form_sent_twice_saves_once(client: FlaskClient, journal: Database, make: Make) -> None:
    """C9: a bag sent again is the bag that is there."""
    sent = opened(client, "/bags/new", "net_g", name="Red hill", net_g="250")
    first, again = (client.post("/bags/new", data=sent) for _ in range(2))
    assert first.status_code == again.status_code == 303
    assert first.location == again.location
    assert count(journal, Bag) == 1


def test_a_form_sent_again_with_other_content_is_asked_about(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """C3: a known key with other content is never called saved."""
    make.brew(note="the one before")
    sent = opened(client, "/brews/new", "dose_g", note="cup one")
    saved = client.post("/brews/new", data=sent).location
    told = client.post("/brews/new", data=sent | {"note": ["cup two"]})
    assert told.status_code == 409
    assert count(journal, Brew) == 2
    assert saved in told.text

    compare = page.form(told.text, holding="dose_g")
    both = client.post(f"{saved}/edit", data=compare)
    assert both.status_code == 409
    assert "cup one" in page.text(both.text)
    assert "cup two" in page.text(both.text)
    client.post(f"{saved}/edit", data=page.form(both.text, holding="seen"))
    assert count(journal, Brew) == 2
    with Session(journal.reader) as session:
        assert session.scalars(select(Brew.note).order_by(Brew.id)).all()[-1] == "cup two"


def test_a_change_sent_twice_is_no_clash_with_itself(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    brew = make.brew(note="as logged")
    address = f"/brews/{brew.id}/edit"
    sent = opened(client, address, "dose_g", note="mine")
    assert [client.post(address, data=sent).status_code for _ in range(2)] == [303, 303]
