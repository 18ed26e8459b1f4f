"""What buttons do to a thing while its form is open, and what may be sent more than once."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Bag, Base, Bean, Brew, Brewer, Filter, PairingCode
from tests.support import page
from tests.support.clock import NOON
from tests.support.factories import Make


def opened(client: FlaskClient, address: str, holding: str, **typed: Any) -> page.Values:
    return page.filled(client.get(address).text, holding=holding, **typed)


def pressed(client: FlaskClient, address: str, button: str) -> page.Values:
    """What a button of a page sends."""
    forms = page.read(client.get(address).text).forms
    return next(values for attributes, values in forms if attributes.get("action") == button)


def one(journal: Database, model: type[Any]) -> Any:
    with Session(journal.reader) as session:
        return session.scalars(select(model).order_by(model.id.desc())).first()


def count(journal: Database, model: type[Base]) -> int:
    with Session(journal.reader) as session:
        return session.scalar(select(func.count()).select_from(model)) or 0


def _ticked(client: FlaskClient) -> None:
    sent = opened(client, "/brews/new", "dose_g", filter_1="1", retire_1="y")
    assert client.post("/brews/new", data=sent).status_code == 303


@pytest.mark.parametrize(
    ("address", "typed", "deed", "said"),
    [
        ("/filters/1/edit", {"note": "mine"}, "/filters/1/retire", "retired"),
        ("/filters/2/edit", {"note": "mine"}, "/filters/2/unretire", "put back in use"),
        ("/filters/1/edit", {"note": "mine"}, _ticked, "retired"),
        ("/bags/1/edit", {"note": "mine"}, "/bags/1/finish", "finished"),
        ("/bags/2/edit", {"note": "mine"}, "/bags/2/reopen", "opened again"),
        ("/filters/packs/1/edit", {"note": "mine"}, "/filters/packs/1/bin", "put in the bin"),
        ("/gear/brewers/1/edit", {"note": "mine"}, "/gear/brewers/1/bin", "put in the bin"),
        ("/recipes/1/revise", {"note": "mine"}, "/recipes/1/bin", "put in the bin"),
    ],
)
def test_a_form_left_open_is_told_what_a_button_did(
    client: FlaskClient,
    make: Make,
    address: str,
    typed: dict[str, str],
    deed: str | Callable[[FlaskClient], None],
    said: str,
) -> None:
    """C2: what was done stays done, whatever the form shows, and it can be saved all the same."""
    make.brew()
    make.filter(), make.filter(retired_on=NOON.date())
    make.bag(finished_on=NOON.date())
    make.recipe()
    form = opened(client, address, "note", **typed)
    if isinstance(deed, str):
        assert client.post(deed).status_code == 303
    else:
        deed(client)
    told = client.post(address, data=form)
    assert told.status_code == 409
    assert said in page.text(told.text)
    assert client.post(address, data=page.form(told.text, holding="seen")).status_code == 303
    kept = opened(client, address, "note")
    assert kept["note"] == ["mine"]


def test_saving_an_open_form_does_not_open_a_finished_bag_again(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """C2, C14: the day is chosen from what the button did, and comes back from the history."""
    make.bag()
    form = opened(client, "/bags/1/edit", "net_g", note="mine")
    client.post("/bags/1/finish")
    told = client.post("/bags/1/edit", data=form)
    client.post("/bags/1/edit", data=page.form(told.text, holding="seen"))
    bag = one(journal, Bag)
    assert (bag.finished_on, bag.note) == (NOON.date(), "mine")
    history = page.text(client.get("/history/bag/1").text)
    assert "this computer: finished" in history


def test_what_is_done_already_is_not_done_again(
    client: FlaskClient, journal: Database, make: Make, freeze: Callable[[str], None]
) -> None:
    make.filter(), make.bag()
    for _ in range(2):
        assert client.post("/filters/1/retire").status_code == 303
        assert client.post("/bags/1/finish").status_code == 303
        freeze("2026-10-01T08:00")
    assert one(journal, Filter).retired_on == NOON.date()
    assert one(journal, Bag).finished_on == NOON.date()
    for kind in ("filter", "bag"):
        assert client.get(f"/history/{kind}/1").text.count("this computer:") == 1


def test_one_filter_is_taken_out_however_often_the_button_is_sent(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """C9"""
    make.pack(count=3)
    button = "/filters/packs/1/take"
    sent = pressed(client, "/filters/packs/1", button)
    assert {client.post(button, data=sent).location for _ in range(3)} == {"/filters/1"}
    assert count(journal, Filter) == 1
    client.post(button, data=pressed(client, "/filters/packs/1", button))
    assert count(journal, Filter) == 2


def test_a_bean_and_a_brewer_named_on_the_form_of_a_brew_are_made_once(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """C9: the change is sent three times, as it was."""
    make.brew()
    form = opened(
        client, "/brews/1/edit", "dose_g", bag_id="", new_bean="Ridge", brewer_id="",
        new_brewer_kind="cone",
    )  # fmt: skip
    sent = [client.post("/brews/1/edit", data=form) for _ in range(3)]
    assert [(answer.status_code, answer.location) for answer in sent] == [(303, "/brews/1")] * 3
    assert [count(journal, made) for made in (Bean, Bag, Brewer)] == [2, 2, 2]
    assert one(journal, Brew).bag_id == 2


def test_codes_are_made_and_cancelled_as_often_as_they_are_asked_for(
    client: FlaskClient, journal: Database
) -> None:
    """A page of codes shown again by the browser does not say "saved already"."""
    client.application.config["LAN_ADDRESSES"] = ("192.168.7.2",)
    make_one = pressed(client, "/devices/", "/devices/codes")
    assert [client.post("/devices/codes", data=make_one).status_code for _ in range(2)] == [200] * 2
    assert count(journal, PairingCode) == 2
    cancel = pressed(client, "/devices/", "/devices/codes/void")
    client.post("/devices/codes/void", data=cancel)
    client.post("/devices/codes", data=make_one)
    client.post("/devices/codes/void", data=cancel)
    assert count(journal, PairingCode) == 0
