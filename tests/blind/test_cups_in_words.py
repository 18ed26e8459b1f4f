"""Serving cards, pouring lists, packets and every page of a trial say in words what A and B are."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from app.blind.cups import says_b_first
from app.database import Database
from tests.support.blind import (
    ANSWERED,
    CLAIMED,
    PLAN,
    SEEN,
    SERVED,
    blind_test,
    next_trial,
    planned,
    rows,
)
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.page import text

A, B = "water from the kettle", "water from the jug"
WORDS = {"a_words": A, "b_words": B, "title": "The other way round"}
STAGES: list[tuple[dict[str, Any], dict[str, Any]]] = [
    ({}, {}),
    ({}, CLAIMED | SERVED),
    ({}, CLAIMED | SERVED | ANSWERED),
    ({}, CLAIMED | SERVED | ANSWERED | SEEN),
    ({}, {"voided_at": NOON, "void_reason": "spilled"}),
    ({"pouring": "solo"}, {}),
    ({"pouring": "solo"}, SERVED),
    ({"pouring": "solo"}, SERVED | ANSWERED),
    ({"pouring": "solo"}, SERVED | ANSWERED | SEEN | {"lifted": "2"}),
]


@pytest.mark.parametrize(("plan", "given"), STAGES)
def test_every_stage_of_a_trial_says_what_a_and_b_are(
    client: FlaskClient, make: Make, plan: dict[str, Any], given: dict[str, Any]
) -> None:
    _, (row,) = rows(make, [given], **WORDS | plan)
    page = text(client.get(f"/blind/trials/{row.id}").text)
    assert f"Cup A {A}" in page
    assert f"Cup B {B}" in page
    assert "The other way round" not in page


def test_the_serving_card_says_it_at_every_cup_and_not_by_the_name_of_the_test(
    app: Flask, client: FlaskClient, make: Make
) -> None:
    # Before: letters only, beside a name that may put B first: a helper poured every cup swapped.
    fresh = {"claim": "these ways of brewing", "brewing": "fresh pair each trial"}
    drawn = {"cups": "BA", "brewed_first": "B"}
    _, (row,) = rows(make, [drawn], method="paired", attribute="body", more="B", **WORDS | fresh)
    helper = app.test_client()
    helper.post(f"/blind/trials/{row.id}/claim")
    page = text(helper.get(f"/blind/trials/{row.id}/pour").text)
    assert f"Brew both afresh: B ({B}) first, then A ({A})." in page
    assert f"417 left: {B} Cup B 658 right: {A} Cup A" in page
    assert "The other way round" not in page


def test_the_solo_list_says_it_at_every_mark(client: FlaskClient, make: Make) -> None:
    _, (row,) = rows(make, [{"cups": "BAB"}], pouring="solo", **WORDS)
    page = text(client.get(f"/blind/trials/{row.id}").text)
    assert f"Mark 1 {B} Cup B Mark 2 {A} Cup A Mark 3 {B} Cup B" in page


def test_pour_for_all_says_it_in_every_card(client: FlaskClient, make: Make) -> None:
    test, _ = rows(make, [{"cups": "ABB"}], **WORDS | {"several_tasters": True})
    client.post(f"/blind/{test.id}/claim")
    page = text(client.get(f"/blind/{test.id}/pour").text)
    assert f"417 left: {A} Cup A" in page
    assert f"658 middle: {B} Cup B" in page


def test_what_the_plan_points_at_stands_beside_its_words(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    brew, paper = make.brew(), make.filter()
    revision = make.recipe(name="Long steep").revisions[0]
    test_id = planned(
        client, pouring="solo", a_brew_id=str(brew.id), a_revision_id=str(revision.id),
        b_filter_id=str(paper.id), b_filter_use="3",
    )  # fmt: skip
    page = text(client.get(f"/blind/trials/{next_trial(client, test_id)}").text)
    assert "Cup A fresh paper (Morning Hill" in page
    assert "Long steep, revision 1)" in page
    assert "Cup B paper on its third use (White round no. 1, use 3)" in page


@pytest.mark.parametrize(
    ("title", "swapped"),
    [
        ("Fresh paper or paper on its third use", True),
        ("Third use or fresh paper", False),
        ("Is the third use as good?", False),
        ("Papers", False),
        ("", False),
    ],
)
def test_a_name_that_has_b_before_a_is_known(title: str, swapped: bool) -> None:
    assert says_b_first(title, "the third use of a round paper", "a fresh round paper") == swapped


def test_a_name_that_contradicts_a_and_b_is_refused_when_planned_and_when_changed(
    client: FlaskClient, journal: Database
) -> None:
    swapped = "Third use or fresh paper"
    answer = client.post("/blind/new", data=PLAN | {"title": swapped})
    assert answer.status_code == 422
    assert "speaks of B before A" in text(answer.text)
    test_id = planned(client)
    typed = {"title": swapped, "pouring": "helper"}
    answer = client.post(f"/blind/{test_id}/edit", data=typed)
    assert answer.status_code == 422
    assert "speaks of B before A" in text(answer.text)
    assert blind_test(journal, test_id).title == "fresh paper or paper on its third use"


def test_a_plan_like_another_takes_its_name_from_its_own_cups(
    client: FlaskClient, make: Make
) -> None:
    # Before: the old name stayed, whatever A and B became.
    test, _ = rows(make, [], title="Third use or fresh")
    page = client.get(f"/blind/new?like={test.id}").text
    assert "Third use or fresh" not in page


def test_a_triangle_is_answered_with_a_cup_and_how_sure(client: FlaskClient, make: Make) -> None:
    _, (row,) = rows(make, [CLAIMED | SERVED], **WORDS)
    page = client.get(f"/blind/trials/{row.id}").text
    assert page.count('type="radio"') == 3
    assert 'name="sure" value="yes"' in page
