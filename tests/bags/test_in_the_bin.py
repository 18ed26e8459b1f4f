"""Corrections and freezer days in the bin: they count nowhere, and come back as they were."""

from __future__ import annotations

from datetime import date

from flask.testing import FlaskClient

from app.models import Bag, Brew
from tests.support import page
from tests.support.factories import Make

FROZEN = (date(2026, 1, 2), date(2026, 1, 12))


def says(client: FlaskClient, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return page.text(answer.text)


def bag_and_brews(make: Make) -> tuple[Bag, Brew, Brew]:
    bag = make.bag(roasted_on=date(2026, 1, 1), net_g=100.0)
    return (
        bag,
        make.brew(bag, brewed_at="2026-01-21T07:30", dose_g=10.0),
        make.brew(bag, brewed_at="2026-01-22T07:30", dose_g=10.0),
    )


def test_a_binned_correction_changes_nothing_that_is_left(client: FlaskClient, make: Make) -> None:
    """C14: neither on the bag, in the list, in the brew form, nor on the first page."""
    bag, _, _ = bag_and_brews(make)
    noted = make.correction(bag, -30.0, why="Upset jar")
    kept = make.correction(bag, -5.0, why="Weighed again")
    places = (f"/bags/{bag.id}", "/bags/", "/brews/new", "/")
    assert all("45 g" in says(client, place) for place in places)
    address = f"/bags/{bag.id}/corrections/{noted.id}"
    assert "in the bin" in says(client, client.post(f"{address}/remove").location)
    for place in places:
        assert "75 g" in says(client, place)
        assert "45 g" not in says(client, place).replace("45 g/L", "")
    for place in (places[0], f"/bags/{bag.id}/edit"):
        shown = says(client, place)
        assert "Upset jar" not in shown
        assert kept.why in shown
    client.post(f"{address}/remove")  # once more changes nothing
    assert "The correction is back." in says(client, client.post(f"{address}/restore").location)
    assert all("45 g" in says(client, place) for place in places)


def test_binned_freezer_days_are_days_of_rest(client: FlaskClient, make: Make) -> None:
    """C14: on the bag, in the list, on the brew and in a side by side."""
    bag, one, other = bag_and_brews(make)
    span = make.frozen(bag, *FROZEN)
    places = {
        f"/bags/{bag.id}": "247 days and 10 frozen",
        "/bags/": "247 days and 10 frozen",
        f"/brews/{one.id}": "rest 10 days and 10 frozen",
        f"/side-by-side/{one.id}/{other.id}": "10 days, 10 frozen",
    }
    before = {place: says(client, place) for place in places}
    assert all(words in before[place] for place, words in places.items())
    address = f"/bags/{bag.id}/frozen/{span.id}"
    assert "are in the bin" in says(client, client.post(f"{address}/remove").location)
    for place in places:
        assert "10 frozen" not in says(client, place)
    assert "rest 20 days" in says(client, f"/brews/{one.id}")
    client.post(f"{address}/restore")
    client.get("/more")  # takes the message
    assert {place: says(client, place) for place in places} == before


def test_freezer_days_in_the_bin_stay_as_they_are(client: FlaskClient, make: Make) -> None:
    """C14: a page that was left open cannot end what lies in the bin."""
    bag, _, _ = bag_and_brews(make)
    span = make.frozen(bag, FROZEN[0])
    address = f"/bags/{bag.id}/frozen/{span.id}"
    client.post(f"{address}/remove")
    assert "are in the bin" in says(client, client.post(f"{address}/end").location)
    client.post(f"{address}/restore")
    assert "2 Jan 2026 to now" in says(client, f"/bags/{bag.id}/edit")


def test_the_day_a_bag_was_finished_can_be_brought_back(client: FlaskClient, make: Make) -> None:
    """C14: opening it again keeps the day among the earlier versions."""
    bag = make.bag(finished_on=date(2026, 3, 1))
    client.post(f"/bags/{bag.id}/reopen")
    client.post(f"/bags/{bag.id}/reopen")  # changes nothing
    history = says(client, f"/history/bag/{bag.id}")
    assert history.count("opened again") == 1
    edit = f"/bags/{bag.id}/edit"
    earlier = page.form(client.get(f"{edit}?before_change=1").text, holding="net_g")
    assert earlier["finished_on"] == ["2026-03-01"]
    assert client.post(edit, data=earlier).status_code == 303
    assert "Finished 1 Mar 2026" in says(client, f"/bags/{bag.id}")


def test_a_part_of_another_bag_is_not_restored_there(client: FlaskClient, make: Make) -> None:
    mine, other = make.bag(), make.bag()
    noted, span = make.correction(other, -5.0), make.frozen(other, *FROZEN)
    for part in (f"corrections/{noted.id}", f"frozen/{span.id}"):
        assert client.post(f"/bags/{mine.id}/{part}/restore").status_code == 404
