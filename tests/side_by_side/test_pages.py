"""Two brews side by side: chosen, compared, looked back over, kept."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import timedelta
from typing import Any

import pytest
from flask.testing import FlaskClient
from plotly.graph_objects import Figure
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.pairs.around import LATEST
from app.journal.pairs.saved import saved_with
from app.models import Brew, Question, QuestionSideBySide, SideBySide
from app.side_by_side.choosing import brew_before
from tests.support import page
from tests.support.clock import FIRST_BREW, NOON
from tests.support.factories import Make

Watch = Callable[[], AbstractContextManager[list[str]]]


def address(a: Brew, b: Brew, **query: str) -> str:
    told = "&".join(f"{key}={value}" for key, value in query.items())
    return f"/side-by-side/{a.id}/{b.id}" + (f"?{told}" if told else "")


def said(client: FlaskClient, a: Brew, b: Brew, **query: str) -> str:
    answer = client.get(address(a, b, **query))
    assert answer.status_code == 200
    return page.text(answer.text)


def figure(client: FlaskClient, name: str, a: Brew, b: Brew, **query: str) -> Any:
    shown = client.get(address(a, b, **query)).text
    found = re.search(rf'data-chart="{name}">(.*?)</script>', shown, re.S)
    assert found
    return Figure(json.loads(found[1]))


def saved(journal: Database) -> list[SideBySide]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(SideBySide).order_by(SideBySide.id)))


def test_the_two_are_tested_blind_under_the_open_question_they_are_gathered_under(
    client: FlaskClient, make: Make
) -> None:
    a, b = make.brew(), make.brew(steep_s=200)
    two = f"a_brew_id={a.id}&amp;b_brew_id={b.id}"
    assert f'href="/blind/new?{two}">Test' in client.get(address(a, b)).text
    pair = make.side_by_side(a, b)
    for number, state in ((1, "answered"), (2, "open")):
        asked = Question(id=number, text="Longer?", factors=["steep"], asked_at=NOON, state=state)
        if state == "answered":
            asked.answered_at, asked.answer = NOON, "No."
        make.save(asked)
        make.save(QuestionSideBySide(question_id=number, side_by_side_id=pair.id))
    assert f'href="/blind/new?{two}&amp;question_id=2">Test' in client.get(address(a, b)).text


def test_one_thing_that_differs_is_named_and_the_rest_folded_away(
    client: FlaskClient, make: Make
) -> None:
    a, b = make.brew(grind="fine", water_temp_c=94.0), make.brew(grind="medium", water_temp_c=94.0)
    shown = said(client, a, b)
    assert "a fair test: one thing differs, the grind. Nothing else was noted: filter," in shown
    first, folded = shown.split("The same in both:")
    assert "fine" in first
    assert "94 °C" not in first
    assert "94 °C" in folded


def test_several_differences_leave_no_single_cause(client: FlaskClient, make: Make) -> None:
    a, b = make.brew(grind="fine", steep_s=60), make.brew(grind="coarse", steep_s=240)
    shown = said(client, a, b)
    assert "Not a fair test: 2 things differ (grind and steep)" in shown
    assert "no single cause can be named" in shown
    assert "1:00" in shown
    assert "4:00" in shown


def test_nothing_that_differs_is_a_repeat(client: FlaskClient, make: Make) -> None:
    assert "a repeat" in said(client, make.brew(), make.brew())


def test_ratio_strength_and_extraction_stand_with_range_and_formula(
    client: FlaskClient, make: Make
) -> None:
    # Liang, Chan, Ristenpart 2021: E = R t / (1 − t); R 20, t 1.2 % gives 24.3 %.
    a = make.brew(dose_g=11.0, water_g=220.0, tds_pct=1.2)
    b = make.brew(dose_g=11.0, water_g=198.0, steep_s=120, water_temp_c=94.0)
    shown = said(client, a, b)
    assert "1 : 20.0" in shown
    assert "1 : 18.0" in shown
    assert "24.3" in shown
    assert "ratio × t ÷ (1 − t)" in shown
    assert "immersion, estimated" in shown
    assert re.search(r"≈ 1\.\d\d \(\d\.\d\d–1\.\d\d\)", shown)


def test_strengths_closer_than_tasters_notice_are_called_so(
    client: FlaskClient, make: Make
) -> None:
    # Frost et al. 2019: 0.24 % TDS.
    a, b = make.brew(tds_pct=1.20), make.brew(tds_pct=1.35)
    shown = said(client, a, b)
    assert "B is stronger by 0.15 points of TDS." in shown
    assert "less than 0.24 points" in shown
    assert "less than 0.24 points" not in said(client, a, make.brew(tds_pct=1.50))


def test_immersion_and_drip_are_not_compared_without_a_word(
    client: FlaskClient, make: Make
) -> None:
    cone = make.brewer(name="Cone", kind="cone")
    shown = said(client, make.brew(tds_pct=1.3), make.brew(brewer=cone, tds_pct=1.3))
    assert "Extraction of A is by immersion, of B by drip" in shown
    assert "by different sums" in shown
    assert "their distance from left to right means nothing" in shown


def test_fault_20_drip_and_immersion_share_no_box_and_the_chart_says_so(
    client: FlaskClient, make: Make
) -> None:
    """cf7c70f drew both into one box that is defined by t·B/D, without a word on the chart."""
    a, b = make.brew(tds_pct=1.3), make.brew(brewer=make.brewer(kind="cone"), tds_pct=1.3)
    drawn = figure(client, "strength", a, b)
    assert not drawn.layout.shapes
    (words,) = drawn.layout.annotations
    assert words.text.replace("<br>", " ") == "A by immersion, B by drip: two different sums"
    shown = said(client, a, b)
    assert "SCAA" not in shown
    assert "no box of good cups is drawn" in shown
    assert "It was drawn for drip brews" in said(client, a, make.brew(tds_pct=1.4))


def test_fault_14_two_bags_of_different_rest_are_two_things(
    client: FlaskClient, make: Make
) -> None:
    day = FIRST_BREW.date()
    young = make.bag(roasted_on=day - timedelta(days=3))
    old = make.bag(roasted_on=day - timedelta(days=60))
    a, b = make.brew(young, brewed_at=FIRST_BREW), make.brew(old, brewed_at=FIRST_BREW)
    assert "Not a fair test: 2 things differ (bag and days of rest)" in said(client, a, b)


def test_fault_14_a_repeat_with_few_notes_does_not_explain_the_taste(
    client: FlaskClient, make: Make
) -> None:
    shown = said(client, make.brew(), make.brew())
    assert "Nothing else was noted: filter, grinder, kettle water, water temperature" in shown
    assert "scatter between cups of one recipe" not in shown


def test_p4b_repeats_of_one_morning_are_not_set_beside_cups_of_two(
    client: FlaskClient, make: Make
) -> None:
    for liking in (6, 6, 7):
        make.tasting(make.brew(brewed_at=FIRST_BREW), liking=liking)
    a, b = make.brew(brewed_at=FIRST_BREW), make.brew(brewed_at=FIRST_BREW + timedelta(days=1))
    make.tasting(a, liking=4)
    make.tasting(b, liking=8)
    assert "your repeats share a day" in said(client, a, b)


@pytest.mark.parametrize(
    ("other", "said_of_it"),
    [
        ({"water_g": 360.0}, "A is stronger by about"),
        ({"steep_s": 60}, "A is extracted more by about"),
    ],
)
def test_fault_10_what_both_cups_share_leaves_no_doubt_of_their_order(
    client: FlaskClient, make: Make, other: dict[str, Any], said_of_it: str
) -> None:
    """cf7c70f: "which one is stronger is not certain", though it is so in every world."""
    plain = {
        "dose_g": 20.0, "water_g": 300.0, "steep_s": 240, "water_temp_c": 93.0, "stirs": 3,
    }  # fmt: skip
    a, b = make.brew(**plain), make.brew(**plain | other)
    shown = said(client, a, b)
    assert said_of_it in shown
    assert "certain enough" in shown
    assert "is stronger is not certain" not in shown
    swapped = said(client, b, a)
    assert said_of_it.replace("A is", "B is") in swapped
    another_bag = make.brew(make.bag(), **plain | {"water_g": 320.0})
    assert "is stronger is not certain" in said(client, a, another_bag)


def test_the_chart_has_the_published_box_and_both_cups(client: FlaskClient, make: Make) -> None:
    # SCAA Golden Cup 2015; that it is one convention: Cotter et al. 2021.
    a, b = make.brew(tds_pct=1.2), make.brew(tds_pct=1.4)
    drawn = figure(client, "strength", a, b)
    box = drawn.layout.shapes[0]
    assert (box.x0, box.x1, box.y0, box.y1) == (18.0, 22.0, 1.15, 1.35)
    assert [trace.text[0] for trace in drawn.data] == ["A", "B"]
    assert drawn.data[0].y[0] == 1.2
    assert drawn.data[0].error_y.array[0] == pytest.approx(0.03)
    assert "one convention" in said(client, a, b)
    assert "Cotter and others 2021" in said(client, a, b)


def test_a_brewer_without_a_model_is_compared_without_that_chart(
    client: FlaskClient, make: Make
) -> None:
    other = make.brewer(kind="other")
    a, b = make.brew(brewer=other), make.brew(brewer=other)
    assert 'data-chart="strength"' not in client.get(address(a, b)).text
    assert "not known, so they are not compared" in said(client, a, b)


def test_scores_are_shown_per_taster_with_a_plain_word_when_there_are_no_repeats(
    client: FlaskClient, make: Make
) -> None:
    a, b = make.brew(), make.brew(grind="fine")
    ada, bo = make.taster(name="Ada"), make.taster(name="Bo")
    make.tasting(a, ada, liking=5, words="thin")
    make.tasting(b, ada, liking=8)
    make.tasting(b, bo, liking=6)
    shown = said(client, a, b)
    assert "The scores are 3 apart. No repeats yet" in shown
    assert "Bo : Cup A" in shown.replace("Bo:", "Bo :")
    assert "Scored only one of the two." in shown
    assert "thin" in shown
    assert "Not both tasted blind." in shown


def test_a_difference_is_set_beside_the_spread_between_repeats_of_the_same_taster(
    client: FlaskClient, make: Make
) -> None:
    ada, bo = make.taster(name="Ada"), make.taster(name="Bo")
    for liking in (5, 6, 7):
        repeat = make.brew(brewed_at=FIRST_BREW)
        make.tasting(repeat, ada, liking=liking)
    make.tasting(repeat, bo, liking=1)
    a, b = make.brew(brewed_at=FIRST_BREW), make.brew(grind="fine", brewed_at=FIRST_BREW)
    make.tasting(a, ada, liking=5)
    make.tasting(b, ada, liking=8)
    shown = said(client, a, b)
    assert "3 repeats of one recipe" in shown
    assert "One cup each is not a test." in shown


@pytest.mark.parametrize(
    "other",
    [
        {"grind": "coarse"},
        {"dose_g": 15.0},
        {"steep_s": 300},
        {"binned_at": NOON},
        {"flipped": True},
    ],
)
def test_brews_set_otherwise_or_in_the_bin_are_no_repeats(
    client: FlaskClient, make: Make, other: dict[str, Any]
) -> None:
    ada = make.taster(name="Ada")
    plain = {"brewed_at": FIRST_BREW, "steep_s": 120}
    for changed in ({}, other):
        make.tasting(make.brew(**plain | changed), ada, liking=6)
    a, b = make.brew(**plain), make.brew(**plain | {"grind": "fine"})
    make.tasting(a, ada, liking=5)
    make.tasting(b, ada, liking=8)
    assert "No repeats yet" in said(client, a, b)


def test_a_fresh_paper_and_a_used_one_are_no_repeats_of_each_other(
    client: FlaskClient, make: Make
) -> None:
    paper, ada = make.filter(), make.taster(name="Ada")
    uses = [
        make.brew(filters=[paper], brewed_at=FIRST_BREW + n * timedelta(hours=1)) for n in range(4)
    ]
    for use, liking in zip(uses, (3, 6, 7, 8), strict=True):
        make.tasting(use, ada, liking=liking)
    a, b = make.brew(brewed_at=FIRST_BREW), make.brew(brewed_at=FIRST_BREW, grind="fine")
    make.tasting(a, ada, liking=5)
    make.tasting(b, ada, liking=8)
    # The 2nd use agrees with the 3rd, not with the 1st; the 4th is two from the 2nd.
    assert "2 repeats of one recipe" in said(client, a, b)


def test_use_numbers_are_compared_and_follow_a_late_entry(client: FlaskClient, make: Make) -> None:
    paper = make.filter()
    a = make.brew(filters=[paper], brewed_at="2026-03-01T07:00")
    b = make.brew(filters=[paper], brewed_at="2026-03-02T07:00")
    assert "one thing differs, the use of the filter" in said(client, a, b)
    make.brew(filters=[paper], brewed_at="2026-02-20T07:00")
    shown = said(client, a, b)
    assert "2nd" in shown
    assert "3rd" in shown
    assert "a repeat" in shown


def test_days_in_the_freezer_do_not_age_a_bag(client: FlaskClient, make: Make) -> None:
    bag = make.bag(roasted_on=FIRST_BREW.date() - timedelta(days=10))
    a = make.brew(bag, brewed_at=FIRST_BREW)
    b = make.brew(bag, brewed_at=FIRST_BREW + timedelta(days=20))
    assert "one thing differs, the days of rest" in said(client, a, b)
    make.frozen(bag, FIRST_BREW.date(), FIRST_BREW.date() + timedelta(days=19))
    shown = said(client, a, b)
    assert "a repeat" in shown
    assert "11 days, 19 frozen" in shown


def test_the_just_right_profile_sets_a_against_b(client: FlaskClient, make: Make) -> None:
    a, b, ada = make.brew(), make.brew(), make.taster(name="Ada")
    make.tasting(a, ada, jar_strength=2, jar_body=3)
    make.tasting(b, ada, jar_strength=4)
    make.tasting(b, make.taster(name="Bo"), jar_strength=1)
    _, of_a, of_b = figure(client, "just-right", a, b).data
    assert list(zip(of_a.y, of_a.x, strict=True)) == [("strength", 2), ("body", 3)]
    assert list(zip(of_b.y, of_b.x, strict=True)) == [("strength", 4)]
    assert "1 of A and 1 of B. By the same tasters." in said(client, a, b)
    assert "Means of Ada: sighted." in said(client, a, b)


def test_the_just_right_profile_says_whose_means_it_shows(client: FlaskClient, make: Make) -> None:
    a, b, ada, bo = make.brew(), make.brew(), make.taster(name="Ada"), make.taster(name="Bo")
    for brew in (a, b):
        make.tasting(brew, ada, jar_strength=2)
        make.tasting(brew, bo, jar_strength=4, blind=True)
    assert "Means of Ada and Bo, taken together: sighted and tasted blind." in said(client, a, b)


def days(drawn: Any, axis: str = "y") -> list[str]:
    """Days of the brews of a panel, the two marked cups left out."""
    plain = [one for one in drawn.data if (one.yaxis or "y") == axis and not one.text]
    return sorted(day for trace in plain for day in trace.x)


def test_looking_back_over_both_bags_marks_a_and_b(client: FlaskClient, make: Make) -> None:
    one, two = make.bag(), make.bag()
    of_one = [make.brew(one) for _ in range(3)]
    of_two = [make.brew(two, dose_g=16.0) for _ in range(2)]
    make.brew(make.bag())
    make.brew(one, binned_at=NOON)
    make.tasting(of_one[0], liking=8)
    drawn = figure(client, "over-time", of_one[0], of_two[1])
    assert days(drawn) == [brew.brewed_on.isoformat() for brew in (*of_one, *of_two)]
    assert {trace.name for trace in drawn.data if trace.showlegend} == {"bag of A", "bag of B"}
    marked = [(t.text[0], t.x[0]) for t in drawn.data if t.text and (t.yaxis or "y") == "y"]
    assert marked == [
        ("A", of_one[0].brewed_on.isoformat()),
        ("B", of_two[1].brewed_on.isoformat()),
    ]
    assert [t.y[0] for t in drawn.data if t.yaxis == "y3" and not t.text] == [8]


def test_looking_back_over_a_recipe_takes_all_its_revisions(
    client: FlaskClient, make: Make
) -> None:
    recipe = make.recipe()
    newer = make.revision(recipe)
    a = make.brew(make.bag(), recipe=recipe)
    b = make.brew(make.bag(), revision_id=newer.id)
    make.brew(make.bag())
    drawn = figure(client, "over-time", a, b, over="recipe")
    assert days(drawn) == [a.brewed_on.isoformat(), b.brewed_on.isoformat()]
    assert len(days(figure(client, "over-time", a, b))) == 2


def test_without_a_recipe_there_is_none_to_look_back_over(client: FlaskClient, make: Make) -> None:
    shown = said(client, make.brew(), make.brew(), over="recipe")
    assert "Neither brew was made by a recipe" in shown
    assert "data-chart" in client.get(address(make.brew(), make.brew(), over="nonsense")).text


def test_a_long_lived_bag_is_cut_to_its_latest_brews_and_the_cups_stay_marked(
    client: FlaskClient, make: Make
) -> None:
    brews = [make.brew() for _ in range(LATEST + 5)]
    drawn = figure(client, "over-time", brews[0], brews[1])
    assert days(drawn) == [brew.brewed_on.isoformat() for brew in brews[5:]]
    assert next(t.x[0] for t in drawn.data if t.text) == brews[0].brewed_on.isoformat()


def test_the_latest_of_a_recipe_are_the_latest_over_all_its_revisions(
    client: FlaskClient, make: Make
) -> None:
    recipe = make.recipe()
    newer = make.revision(recipe)
    old = [make.brew(make.bag(), recipe=recipe) for _ in range(4)]
    new = [make.brew(make.bag(), revision_id=newer.id) for _ in range(LATEST - 2)]
    drawn = figure(client, "over-time", old[0], new[0], over="recipe")
    assert days(drawn) == [brew.brewed_on.isoformat() for brew in (*old[2:], *new)]


def test_swapping_the_cups_is_one_link(client: FlaskClient, make: Make) -> None:
    a, b = make.brew(), make.brew()
    assert f'href="{address(b, a)}"' in client.get(address(a, b)).text
    swapped = client.get(address(a, b, over="recipe")).text
    assert f'href="{address(b, a, over="recipe")}"' in swapped


def test_a_preference_and_a_note_are_kept_and_kept_again(
    client: FlaskClient, journal: Database, make: Make, freeze: Any
) -> None:
    a, b = make.brew(), make.brew()
    for preference, note in (("a", "rounder"), ("neither", "all one to me")):
        held = page.filled(
            client.get(address(a, b)).text, holding="note", preference=preference, note=note
        )
        answer = client.post(address(a, b), data=held)
        assert answer.status_code == 303
        assert answer.location == address(a, b)
        freeze(NOON + timedelta(minutes=5))
    assert [(one.preference, one.note) for one in saved(journal)] == [
        ("a", "rounder"),
        ("neither", "all one to me"),
    ]
    shown = said(client, a, b)
    assert shown.index("all one to me") < shown.index("rounder")
    assert "rounder" in page.text(client.get("/side-by-side/").text)


def test_the_same_tap_twice_is_kept_once(
    client: FlaskClient, journal: Database, make: Make, freeze: Callable[[str], None]
) -> None:
    """C9: by the key of the form, however long the second takes; another form saves anew."""
    a, b = make.brew(), make.brew()
    opened = client.get(address(a, b)).text
    sent = page.filled(opened, holding="note", preference="b")
    first = client.post(address(a, b), data=sent)
    freeze("2026-09-17T08:00")
    again = client.post(address(a, b), data=sent)
    assert first.status_code == again.status_code == 303
    assert first.location == again.location == address(a, b)
    assert len(saved(journal)) == 1

    other = client.post(address(a, b), data=sent | {"preference": ["a"]})
    assert other.status_code == 409
    assert [row.preference for row in saved(journal)] == ["b"]
    anew = page.filled(client.get(address(a, b)).text, holding="note", preference="b")
    client.post(address(a, b), data=anew)
    assert len(saved(journal)) == 2


def test_a_pair_saved_the_other_way_round_names_the_same_cup(
    client: FlaskClient, make: Make
) -> None:
    a, b = make.brew(), make.brew()
    make.side_by_side(b, a, preference="a", note="this one")
    assert "preferred Cup B this one" in said(client, a, b)
    assert "preferred Cup A this one" in said(client, b, a)


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ({"preference": "c", "note": "kept"}, "Please choose one from the list."),
        ({"note": "kept"}, "Please choose one from the list."),
        ({"preference": "a", "note": "x" * 4001}, "Keep this within 4000 characters."),
    ],
)
def test_a_slip_when_saving_is_explained_and_the_note_stays(
    client: FlaskClient, journal: Database, make: Make, typed: dict[str, str], message: str
) -> None:
    a, b = make.brew(), make.brew()
    answer = client.post(address(a, b), data=typed)
    assert answer.status_code == 422
    assert message in page.text(answer.text)
    assert page.form(answer.text, holding="note")["note"] == [typed["note"]]
    assert saved(journal) == []


def test_a_saved_pair_goes_to_the_bin_and_comes_back(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    a, b = make.brew(), make.brew()
    kept = make.side_by_side(a, b, preference="a", note="rounder")
    assert client.post(f"/side-by-side/saved/{kept.id}/bin").location == address(a, b)
    assert "rounder" not in said(client, a, b)
    assert "rounder" not in page.text(client.get("/side-by-side/").text)
    client.post(f"/side-by-side/saved/{kept.id}/restore")
    assert "rounder" in said(client, a, b)
    with Session(journal.reader) as session:
        assert [row.id for row in saved_with(session, b.id)] == [kept.id]
        assert saved_with(session, make.brew().id) == []


def test_brews_in_the_bin_can_still_be_looked_at(client: FlaskClient, make: Make) -> None:
    shown = said(client, make.brew(binned_at=NOON), make.brew())
    assert "in the bin" in shown


def test_with_the_one_before_prefers_the_same_bag(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    first = make.brew(make.bag())
    same = make.brew()
    make.brew(binned_at=NOON)
    make.brew(make.bag())
    this = make.brew()
    lone = make.brew(make.bag())
    for brew, before in ((this, same), (lone, this), (same, first)):
        answer = client.get(f"/side-by-side/with-before/{brew.id}")
        assert answer.location == address(before, brew)
    with Session(journal.reader) as session:
        assert brew_before(session, first.id) is None
    told = client.get(f"/side-by-side/with-before/{first.id}", follow_redirects=True)
    assert "There is no earlier brew" in page.text(told.text)


def test_choosing_b_offers_the_same_bag_first(client: FlaskClient, make: Make) -> None:
    bag = make.bag(make.bean(name="Ridge"))
    a, same = make.brew(bag), make.brew(bag)
    other = make.brew(make.bag(make.bean(name="Valley")))
    make.brew(bag, binned_at=NOON)
    shown = client.get(f"/side-by-side/pick?a={a.id}").text
    words = page.text(shown)
    assert words.index("From the same bag") < words.index("All brews")
    assert shown.count(f'href="{address(a, same)}"') == 2
    assert shown.count(f'href="{address(a, other)}"') == 1
    assert f'href="{address(a, a)}"' not in shown


def test_two_ticked_brews_stand_side_by_side_the_earlier_as_a(
    client: FlaskClient, make: Make
) -> None:
    early, late = make.brew(), make.brew()
    answer = client.get(f"/side-by-side/two?brew={late.id}&brew={early.id}")
    assert answer.location == address(early, late)
    one = client.get(f"/side-by-side/two?brew={late.id}&brew={late.id}")
    assert one.location == f"/side-by-side/pick?a={late.id}"
    for query in ("", "?brew=x", "?brew=1&brew=2&brew=3", "?brew=99999999999999999999"):
        none = client.get(f"/side-by-side/two{query}")
        assert none.location == "/brews/?choose=1"


@pytest.mark.parametrize(
    "where",
    [
        "/side-by-side/1/999",
        "/side-by-side/pick?a=999",
        "/side-by-side/with-before/999",
        "/side-by-side/0/1",
        "/side-by-side/1/99999999999",
    ],
)
def test_what_is_not_there_is_not_found(client: FlaskClient, make: Make, where: str) -> None:
    make.brew()
    assert client.get(where).status_code == 404


def test_a_brew_beside_itself_is_a_brew_to_choose_another_for(
    client: FlaskClient, make: Make
) -> None:
    brew = make.brew()
    assert client.get(address(brew, brew)).location == f"/side-by-side/pick?a={brew.id}"
    assert client.post(address(brew, brew), data={"preference": "a"}).status_code == 404
    assert client.post("/side-by-side/saved/999/bin").status_code == 404
    for strange in ("", "?a=", "?a=x", "?a=99999999999999999999"):
        assert client.get(f"/side-by-side/pick{strange}").location == "/brews/?choose=1"


def test_saved_pairs_are_listed_page_by_page(client: FlaskClient, make: Make) -> None:
    a, b = make.brew(), make.brew()
    for n in range(60):
        make.side_by_side(a, b, note=f"note{n}.", saved_at=FIRST_BREW + timedelta(minutes=n))
    first = client.get("/side-by-side/").text
    older = first.split('rel="next" href="')[1].split('"')[0].replace("&amp;", "&")
    both = page.text(first) + page.text(client.get(older).text)
    assert [n for n in range(60) if both.count(f"note{n}.") == 1] == list(range(60))


def test_an_empty_journal_says_how_to_start(client: FlaskClient) -> None:
    assert "No pair saved yet" in page.text(client.get("/side-by-side/").text)


def test_the_page_asks_the_same_number_of_questions_however_long_the_journal(
    client: FlaskClient, make: Make, statements: Watch
) -> None:
    recipe, paper, ada = make.recipe(), make.filter(), make.taster(name="Ada")

    def brew() -> Brew:
        made = make.brew(recipe=recipe, filters=[paper], tds_pct=1.2)
        make.tasting(made, ada)
        return made

    a, b = brew(), brew()
    make.side_by_side(a, b)

    def asked(where: str) -> int:
        client.get(where)
        with statements() as seen:
            assert client.get(where).status_code == 200
        return len(seen)

    pages = (
        address(a, b),
        address(a, b, over="recipe"),
        f"/side-by-side/pick?a={a.id}",
        "/side-by-side/",
    )
    few = [asked(where) for where in pages]
    for _ in range(30):
        make.side_by_side(brew(), brew())
        make.frozen(make.bag(), FIRST_BREW.date())
    assert [asked(where) for where in pages] == few
    assert few[0] <= 10  # eight of its own, one for blind tests, one for questions


def test_text_is_never_markup(client: FlaskClient, make: Make) -> None:
    a = make.brew(make.bag(make.bean(name="</script><b>x")), note="<i>y")
    b = make.brew(make.bag(make.bean(name="<b>z")))
    make.side_by_side(a, b, note="<u>w")
    for where in (address(a, b), "/side-by-side/", f"/side-by-side/pick?a={a.id}"):
        shown = client.get(where).text
        assert not any(tag in shown for tag in ("<b>", "<i>", "<u>", "</script><"))
