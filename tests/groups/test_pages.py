"""The page of two groups: what it says of little, of much, and of what cannot be told apart."""

from __future__ import annotations

import re

import pytest
from flask.testing import FlaskClient

from app.models import Taster
from tests.support import page
from tests.support.asking import says
from tests.support.clock import A_DAY, FIRST_BREW
from tests.support.factories import Make

FRESH_OR_USED = "/groups/?a-material=paper&a-use_to=1&b-material=paper&b-use_from=2"
DRAWN = 'class="chart"'


def turns(
    make: Make, days: int, gap: int, taster: Taster | None = None, **differs: tuple[object, object]
) -> None:
    """A day of fine, a day of medium, fine liked `gap` more; `differs` are (of fine, of medium)."""
    for day in range(days):
        fine = day % 2 == 0
        given = {name: pair[0 if fine else 1] for name, pair in differs.items()}
        brew = make.brew(
            grind="fine" if fine else "medium", brewed_at=FIRST_BREW + day * A_DAY, **given
        )
        make.tasting(brew, taster, liking=5 + gap * fine + day // 2 % 2)


def test_an_empty_journal_offers_groups_and_says_what_is_missing(client: FlaskClient) -> None:
    assert "Ready to compare" in says(client, "/groups/")
    said = says(client, FRESH_OR_USED)
    assert "No cup of either group has been scored." in said
    assert "1st use" in said
    assert DRAWN not in client.get(FRESH_OR_USED).text


@pytest.mark.parametrize("cups", [1, 2])
def test_one_cup_and_two_cups_draw_nothing(client: FlaskClient, make: Make, cups: int) -> None:
    paper = make.filter()
    for _ in range(cups):
        make.tasting(make.brew(filters=[paper]))
    said = says(client, FRESH_OR_USED)
    assert DRAWN not in client.get(FRESH_OR_USED).text
    assert "Charts are drawn from three scored cups on" in said
    if cups == 1:
        assert "No scored cup of B yet, so there is nothing to compare." in said
    else:
        assert "A has 1 cup on 1 day, B 1 cup on 1 day: too few for a range." in said
        assert "5 more of A and 5 more of B on days of their own, or 6 with both" in said


def test_a_difference_is_told_and_no_cause_named(client: FlaskClient, make: Make) -> None:
    turns(make, 16, 2)
    said = says(client, "/groups/?a-grind=fine&b-grind=medium")
    assert (
        "A was liked 2.0 more than B on average (range of A less B: +1.4 to +2.6)" in said
    )  # .5345 · √(2/8) · 2.145
    assert "Nothing else that was noted explains it, but nobody drew lots either." in said
    assert "This is a journal, not an experiment" in said
    assert "8 days of A and 8 of B: Welch's t (1947)" in said


def test_what_differs_as_well_could_explain_it(client: FlaskClient, make: Make) -> None:
    turns(make, 16, 2, water_temp_c=(88.0, 94.0), dose_g=(14.0, 14.0))
    said = says(client, "/groups/?a-grind=fine&b-grind=medium")
    assert "But water temperature differs between the groups as well and could explain it." in said
    assert "Which it is cannot be told apart here." in said
    assert "Water temperature 88 °C 94 °C could explain it" in said.replace("\xa0", " ")
    assert "Nothing else that was noted explains it" not in said


def test_cups_scored_only_where_they_are_good_are_no_evidence(
    client: FlaskClient, make: Make
) -> None:
    turns(make, 16, 2)
    for day in range(16, 40):
        make.brew(grind="fine", brewed_at=FIRST_BREW + day * A_DAY)
    said = says(client, "/groups/?a-grind=fine&b-grind=medium")
    assert "But which cups were scored differs between the groups as well" in said
    assert "Share of the brews that was scored" in said


def test_without_a_difference_it_does_not_say_they_are_the_same(
    client: FlaskClient, make: Make
) -> None:
    turns(make, 16, 0, water_temp_c=(88.0, 94.0))
    said = says(client, "/groups/?a-grind=fine&b-grind=medium")
    assert "A and B were liked alike on average" in said
    assert "which chance can give. That does not make them the same." in said
    assert "Water temperature differs between the groups and may hide a difference as well." in said


def test_comparisons_of_one_page_share_the_1_in_20(client: FlaskClient, make: Make) -> None:
    """Six days of a clear difference are enough alone, and not as one of two."""
    for day in range(12):
        brew = make.brew(grind="fine" if day % 2 else "medium")
        make.tasting(brew, liking=6 + day % 2)
    alone = says(client, "/groups/?a-grind=fine&b-grind=medium")
    assert "95 chances in 100" in alone
    assert "comparisons of this page share" not in alone
    other = make.taster(name="Sage")
    turns(make, 16, 0, other)
    both = says(client, "/groups/?a-grind=fine&b-grind=medium")
    assert "The 2 comparisons of this page share that 1 in 20." in both
    assert "97.5 chances in 100" in both


def test_charts_are_of_one_taster_who_can_be_changed(client: FlaskClient, make: Make) -> None:
    other = make.taster(name="Sage")
    turns(make, 16, 1)
    turns(make, 14, 1, other)
    address = "/groups/?a-grind=fine&b-grind=medium"
    assert "Every score, by Juniper" in says(client, address)
    (link,) = [
        found.replace("&amp;", "&")
        for found in re.findall(r'href="([^"]+show=\d+)"', client.get(address).text)
        if f"show={other.id}" in found
    ]
    assert "Every score, by Sage" in says(client, link)


def test_each_taster_stands_beside_their_own_repeats(client: FlaskClient, make: Make) -> None:
    turns(make, 4, 1)
    said = says(client, "/groups/?a-grind=fine&b-grind=medium")
    assert "Cups of one recipe, scored by Juniper, scatter by" in said
    make.tasting(make.brew(grind="fine", steep_s=77), make.taster(name="Sage"))
    said = says(client, "/groups/?a-grind=fine&b-grind=medium")
    assert "Sage has not scored one recipe twice yet" in said


@pytest.mark.parametrize(
    ("typed", "stands"),
    [
        ("b-grind=medium&a-grind=fine", "a-grind=fine&b-grind=medium"),
        ("a-bag=&a-grind=fine&b-grind=&bag=", "a-grind=fine"),
        ("a-setting_from=14,5&b-setting_to=9", "a-setting_from=14.5&b-setting_to=9.0"),
        ("a-days=weekends&nonsense=1", "a-days=weekends"),
        ("a-use_from=007", "a-use_from=7"),
    ],
)
def test_the_address_is_put_in_order(client: FlaskClient, typed: str, stands: str) -> None:
    answer = client.get(f"/groups/?{typed}")
    assert (answer.status_code, answer.location) == (303, f"/groups/?{stands}")
    assert client.get(answer.location).status_code == 200


def test_without_a_choice_for_b_it_is_all_the_others(client: FlaskClient, make: Make) -> None:
    turns(make, 16, 2)
    said = says(client, "/groups/?a-grind=fine")
    assert "all the others" in said
    assert "A was liked 2.0 more than B on average" in said


@pytest.mark.parametrize(
    ("query", "trouble"),
    [
        ("a-use_from=many", "Please write a number, such as 17"),
        ("a-use_from=0", "Please stay between 1 and"),
        ("a-since=yesterday", "Please write a date"),
        ("a-grind=coarsest", "Please choose one from the list."),
        ("b-grind=fine", "Choose something for group A"),
        ("a-grind=fine&b-grind=fine", "A and B are the same cups"),
    ],
)
def test_what_cannot_be_compared_is_said_and_stays(
    client: FlaskClient, query: str, trouble: str
) -> None:
    answer = client.get(f"/groups/?{query}")
    assert answer.status_code == 422
    assert trouble in page.text(answer.text)
    if "many" in query:
        assert 'value="many"' in answer.text


def test_what_is_gone_is_named_so(client: FlaskClient) -> None:
    assert "one that is gone" in says(client, "/groups/?a-bag=999")


def test_presets_name_what_was_brewed_with_of_late(client: FlaskClient, make: Make) -> None:
    press, cone = make.brewer(name="Blue press"), make.brewer(name="Stone cone", kind="cone")
    make.tasting(make.brew(brewer=press))
    make.tasting(make.brew(brewer=cone))
    opened = client.get("/groups/").text
    assert "Stone cone / Blue press" in opened
    assert f"a-brewer={cone.id}&amp;b-brewer={press.id}" in opened
    assert "Two cups" in says(client, "/side-by-side/")
    assert "/groups/" in client.get("/side-by-side/").text


def test_groups_are_changed_in_the_form_that_made_them(client: FlaskClient, make: Make) -> None:
    turns(make, 4, 1)
    address = "/groups/?a-grind=fine&b-grind=medium"
    assert 'name="a-grind"' not in client.get(address).text
    found = re.search(r'href="([^"]+change=1)"', client.get(address).text)
    assert found
    opened = client.get(found[1].replace("&amp;", "&"))
    assert opened.status_code == 200
    values = page.filled(opened.text, holding="a-grind")
    assert (values["a-grind"], values["b-grind"]) == (["fine"], ["medium"])
    answer = client.get("/groups/", query_string=values)
    assert (answer.status_code, answer.location) == (303, address)


def test_the_long_table_of_a_chart_is_where_its_link_leads(client: FlaskClient, make: Make) -> None:
    turns(make, 60, 1)
    address = "/groups/?a-grind=fine&b-grind=medium"
    last = (FIRST_BREW + 59 * A_DAY).date()
    found = re.search(r'href="([^"#]+numbers=over-days)', client.get(address).text)
    assert found
    opened = says(client, found[1].replace("&amp;", "&"))
    assert f"{last.day} {last:%b}" in opened.replace("\xa0", " ").split("Day A B", 1)[1]
