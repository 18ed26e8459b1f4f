"""Whether one would buy a bag again: said in a tap, why, found, taken back, let out if ticked."""

from __future__ import annotations

from datetime import date

from flask.testing import FlaskClient

from tests.support import page
from tests.support.asking import says
from tests.support.factories import Make


def say(client: FlaskClient, bag_id: int, verdict: str) -> str:
    """A tap on the bag's page; what the page then says."""
    opened = client.get(f"/bags/{bag_id}").text
    sent = page.filled(opened, holding="csrf_token", buy_again=verdict)
    assert client.post(f"/bags/{bag_id}/verdict", data=sent).status_code == 303
    return says(client, f"/bags/{bag_id}")


def test_a_verdict_is_one_tap_and_can_be_changed(client: FlaskClient, make: Make) -> None:
    bag = make.bag()
    assert "buy again:" not in says(client, f"/bags/{bag.id}")
    assert "buy again: yes" in say(client, bag.id, "yes")
    assert "buy again: no" in say(client, bag.id, "no")
    assert "buy again:" not in say(client, bag.id, "")
    history = says(client, f"/history/bag/{bag.id}")
    assert history.count("verdict") >= 3
    assert "Buy it again?" in history


def test_a_verdict_nobody_offers_is_told(client: FlaskClient, make: Make) -> None:
    bag = make.bag()
    assert "Please choose one of the verdicts." in say(client, bag.id, "perhaps")
    assert client.post("/bags/987654/verdict", data=page.filled(
        client.get(f"/bags/{bag.id}").text, holding="csrf_token", buy_again="yes")
    ).status_code == 404  # fmt: skip


def test_why_is_noted_with_the_bag_and_brought_back(client: FlaskClient, make: Make) -> None:
    bag = make.bag()
    address = f"/bags/{bag.id}/edit"
    typed = page.filled(client.get(address).text, holding="net_g", buy_again="unsure",
                        buy_again_note="Sweet at first, flat by the end")  # fmt: skip
    assert client.post(address, data=typed).status_code == 303
    said = says(client, f"/bags/{bag.id}")
    assert "buy again: unsure" in said
    assert "Sweet at first, flat by the end" in said
    before = client.get(f"{address}?before_change=1").text
    assert page.form(before, holding="net_g")["buy_again"] == [""]
    assert client.post(address, data=page.form(before, holding="net_g")).status_code == 303
    assert "Sweet at first" not in says(client, f"/bags/{bag.id}")


def test_bags_are_found_by_their_verdict(client: FlaskClient, make: Make) -> None:
    make.bag(make.bean(name="Far Terrace"), buy_again="yes")
    make.bag(make.bean(name="Low Ridge"), buy_again="no", finished_on=date(2026, 1, 2))
    make.bag(make.bean(name="Plain Field"))
    everything = says(client, "/bags/")
    assert "buy again: yes" in everything
    assert "buy again: no" in everything
    assert "Plain Field" in everything
    found = says(client, "/bags/?again=no")
    assert "Low Ridge" in found
    assert "Far Terrace" not in found
    assert "No bag has the verdict unsure" in says(client, "/bags/?again=unsure")
    assert "Plain Field" in says(client, "/bags/?again=nonsense")


def test_readers_get_a_verdict_only_with_notes(client: FlaskClient, make: Make) -> None:
    bag = make.bag(buy_again="yes", buy_again_note="For its length")
    assert "For its length" not in says(client, f"/readers/bags/{bag.id}")
    said = says(client, f"/readers/bags/{bag.id}?notes=1")
    assert "Buy it again: yes. For its length" in said
