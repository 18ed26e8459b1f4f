"""The places: in groups, each at most two taps away, and the one where one is marked."""

from __future__ import annotations

import re

import pytest
from flask import Flask
from flask.testing import FlaskClient

from app.web.places import BAR, GROUPS, LOG, RAIL, RAIL_MORE, Place, neighbours

PLACES = [place for group in GROUPS for place in group.places]
NAV = re.compile(r'<nav class="(\w+)" aria-label="([^"]+)">(.*?)</nav>', re.DOTALL)
LINK = re.compile(r'<a (?:class="[^"]*" )?href="([^"]+)"(?: aria-current="(\w+)")?')


def navs(html: str) -> dict[str, list[tuple[str, str]]]:
    """The links of each navigation, with what aria-current says of them."""
    return {kind: LINK.findall(links) for kind, _, links in NAV.findall(html)}


def address(app: Flask, place: Place) -> str:
    with app.test_request_context():
        return app.url_for(place.endpoint)


def test_every_place_is_at_most_two_taps_from_every_page(app: Flask, client: FlaskClient) -> None:
    on_bar = {link for link, _ in navs(client.get("/").text)["places"]}
    assert len(on_bar) == len(BAR) == 5
    behind = set(re.findall(r'<a class="row" href="([^"]+)"', client.get("/more").text))
    assert {address(app, place) for place in (*PLACES, LOG)} <= on_bar | behind
    on_rail = {link for link, _ in navs(client.get("/").text)["rail"]}
    assert {address(app, place) for group in RAIL for place in group.places} <= on_rail
    assert address(app, RAIL_MORE) in on_rail


def test_no_two_navigations_have_one_name(client: FlaskClient) -> None:
    names = [name for _, name, _ in NAV.findall(client.get("/blind/").text)]
    assert names == ["All places", "Places", "On the table"]


@pytest.mark.parametrize("place", PLACES, ids=lambda place: place.label)
def test_a_place_is_marked_and_shows_its_neighbours(
    app: Flask, client: FlaskClient, place: Place
) -> None:
    here = address(app, place)
    shown = navs(client.get(here).text)
    marked = {kind: [link for link, current in links if current] for kind, links in shown.items()}
    assert len(marked["places"]) == len(marked["rail"]) == 1
    group = next(group for group in GROUPS if place in group.places)
    if group in RAIL:
        assert marked["rail"] == [here]
    else:
        assert marked["rail"] == [address(app, RAIL_MORE)]
    if place.endpoint != "today.index":
        assert marked["near"] == [here]
        assert neighbours(place.endpoint) is group
        assert len(shown["near"]) == len(group.places)


@pytest.mark.parametrize(
    ("here", "label"),
    [
        ("brews.new", "Log a brew"), ("brews.create", "Log a brew"), ("brews.show", "More"),
        ("two_cups.new", "Two cups"), ("along.show", "Two cups"), ("blind.trial", "Two cups"),
        ("side_by_side.show", "Two cups"), ("claimed.index", "Two cups"),
        ("questions.show", "Questions"), ("bags.show", "More"), ("today.bin", "More"),
        ("today.index", "Today"),
    ],
)  # fmt: skip
def test_the_bar_of_a_phone_says_where_one_is(here: str, label: str) -> None:
    assert [place.label for place in BAR if place.current(here)] == [label]
