"""What a test's page says of its trials: counts, evidence, limits, controls, sureness, charts.

The numbers are those that tests/sensory checks against published tables and exact sums.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from typing import Any

import pytest
from flask.testing import FlaskClient
from plotly.graph_objects import Figure

from app.database import Database
from app.journal.blind.answers import Answers
from app.journal.blind.sealed import FinishedTrial
from app.journal.blind.standing import standing
from app.models import Trial
from tests.support.blind import ANSWERED, CLAIMED, SEEN, SERVED, one_trial, planned, rows
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.page import text

DONE = CLAIMED | SERVED | ANSWERED | SEEN


def answered(rights: Sequence[bool], **given: Any) -> list[dict[str, Any]]:
    """Triangles with the odd cup in the middle, answered right (2) or wrong (1)."""
    return [DONE | {"cups": "ABA", "answer": 2 if right else 1} | given for right in rights]


def finished(made: list[Trial]) -> Answers:
    """The trials as a test reads them."""
    columns = dict.fromkeys(FinishedTrial._fields, "")
    return Answers(
        tuple(
            FinishedTrial(**{name: getattr(row, name, text) for name, text in columns.items()})  # type: ignore[arg-type]
            for row in made
        )
    )


def page_of(client: FlaskClient, make: Make, trials: list[dict[str, Any]], **plan: Any) -> str:
    test, _ = rows(make, trials, **plan)
    return text(client.get(f"/blind/{test.id}").text)


def figures_of(client: FlaskClient, test_id: int) -> dict[str, Any]:
    html = client.get(f"/blind/{test_id}").text
    found = re.findall(r'data-chart="(\w+)">(.*?)</script>', html, re.DOTALL)
    return {name: json.loads(figure) for name, figure in found}


def test_an_open_test_says_what_it_has_and_what_it_does_not_say(
    client: FlaskClient, make: Make
) -> None:
    page = page_of(client, make, answered([True, False, True] * 4))
    assert "Juniper picked the odd cup 8 times out of 12; guessing gets about 4." in page
    assert "That is not enough yet to say that Juniper can tell these two cups apart" in page
    assert "Evidence for a difference 7.67 enough from 20 on" in page  # e(8 of 12) = 7.674
    assert "Guessing gets 4 of 12" in page
    assert "It says neither that there is a difference" in page
    assert "more trials would reach the line" in page


def test_four_of_four_ends_with_a_difference(client: FlaskClient, make: Make) -> None:
    page = page_of(client, make, answered([True] * 4))
    assert "Juniper picked the odd cup 4 times out of 4; guessing gets about 1." in page
    assert "That is enough to say that Juniper can tell these two cups apart." in page
    assert "Evidence for a difference 24.2 enough from 20 on" in page
    assert "It does not say which is better" in page
    assert "It is one taster's" in page


def test_what_was_answered_after_the_end_is_listed_and_not_counted(
    client: FlaskClient, make: Make
) -> None:
    page = page_of(client, make, answered([True] * 4 + [False] * 3))
    assert "4 times out of 4" in page
    assert "3 more answers came after the end and are not counted." in page


def test_the_interval_is_the_one_that_holds_under_daily_looks(
    client: FlaskClient, make: Make
) -> None:
    # 12 of 20: .284 to .866 by {p : 21 binom.pmf(12, 20, p) > .05}
    page = page_of(client, make, answered([True, False] * 8 + [True] * 4, sure=True))
    assert "12 times out of 20" in page
    assert "Right in the long run 28 % to 87 %" in page
    assert "Difference perceived in 0 % to 80 % of trials" in page


def test_sure_and_right_stands_against_sure_and_wrong(client: FlaskClient, make: Make) -> None:
    trials = answered([True, True, False]) + answered([True, False, False], sure=False)
    page = page_of(client, make, trials)
    assert "Sure: 2 of 3 right. Unsure: 1 of 3." in page
    assert "feeling sure is no evidence of its own" in page


def test_a_fixed_number_ends_as_soon_as_it_is_certain(client: FlaskClient, make: Make) -> None:
    # 10 of 18 triangles at alpha .05 (FAO Manual, Appendix A); 9 wrong cannot reach it.
    plan = {"rule": "fixed number", "fixed_trials": 18}
    shown = page_of(client, make, answered([True] * 10), **plan)
    assert "10 times out of 10; guessing gets about 3. That is enough to say" in shown
    open_page = page_of(client, make, answered([False] * 8), **plan)
    assert "0 times out of 8; guessing gets about 3. That is not enough yet" in open_page
    assert "10 or more of 18 show a difference" in open_page
    # 7 of 18 are close enough to p_d .4 (greatest x with P(X <= x | 18, .6) <= .10)
    undecided = page_of(client, make, answered([True] * 8 + [False] * 9), **plan)
    assert "the trials left cannot change it" in undecided
    close = page_of(client, make, answered([False] * 11), **plan)
    assert "would rarely bring so few: these two cups are close enough" in close


def test_step_by_step_ends_at_the_published_trial(client: FlaskClient, make: Make) -> None:
    # p0 1/2, p1 .70 (p_d .40), alpha = beta = .10: published duo-trio, different at the 12th.
    rights = [c == "1" for c in "111101110111"]
    plan = {"rule": "step by step", "alpha": 0.1, "beta": 0.1, "method": "duo-trio"}
    trials = [DONE | {"cups": "AAB", "answer": 2 if right else 3} for right in rights]
    before = page_of(client, make, trials[:11], **plan)
    after = page_of(client, make, trials, **plan)
    assert "9 times out of 11" in before
    assert "That is not enough yet" in before
    assert "10 times out of 12; guessing gets about 6. That is enough to say" in after


def test_controls_are_set_beside_the_trials(client: FlaskClient, make: Make) -> None:
    trials = answered([True, True, False]) + answered([True, False], is_control=True)
    page = page_of(client, make, trials, control_in=3)
    assert "2 times out of 3" in page
    assert "A against A: 2 of 3 right with A against B, 1 of 2 where every cup was A." in page


def by_controls(rights: Sequence[bool], by_luck: Sequence[bool], **plan: Any) -> dict[str, Any]:
    """A plan that fixed both numbers, ended with its last trial."""
    ways = {"claim": "these ways of brewing", "brewing": "fresh pair each trial"}
    fixed = {"rule": "fixed number", "fixed_trials": len(rights), "controls": len(by_luck)}
    ended = {"ended": plan.pop("ended", "shown"), "stopped_at": NOON}
    trials = answered(rights) + answered(by_luck, is_control=True)
    return {"trials": trials, **ways, **fixed, **ended, **plan}


def test_fresh_pairs_in_a_triangle_are_judged_against_a_against_a(
    client: FlaskClient, make: Make
) -> None:
    # Fisher's exact, one-sided: 18 of 18 against 4 of 9 is p = .0016; 12 of 18 against 6 of 9 .67
    shown = page_of(client, make, **by_controls([True] * 18, [True] * 4 + [False] * 5))
    assert "more than brews of one recipe bring about" in shown
    assert "p 0.0016" in shown
    assert "Difference perceived in" not in shown
    few = by_controls([True] * 12 + [False] * 6, [True] * 6 + [False] * 3, ended="undecided")
    alike = page_of(client, make, **few)
    assert "Brews of one recipe may bring that about: nothing is shown" in alike
    assert "undecided" in alike


def test_fresh_pairs_are_not_judged_before_all_trials_are_in(make: Make) -> None:
    for missing in ({"fixed_trials": 13}, {"controls": 7}):
        plan = by_controls([True] * 12, [False] * 6, **missing)
        test, made = rows(make, plan.pop("trials"), **plan | {"ended": None, "stopped_at": None})
        read = standing(test, finished(made))
        assert read.state == "open"
        assert "are answered" in read.sentence
        assert read.not_said.startswith("It says neither")


def test_fault_c4_controls_answered_later_change_nothing(make: Make) -> None:
    # Before: 6 right of 6 against 1 of 4 (p .033) turned from shown to undecided with the next
    # three controls, the database still saying "shown".
    plan = by_controls([True] * 6, [True, False, False, False])
    early = plan["trials"][6:] + plan["trials"][:6]
    late = answered([True] * 5, is_control=True)
    fixed, made = rows(make, early + late, **{k: v for k, v in plan.items() if k != "trials"})
    assert standing(fixed, finished(made)).state == "shown"
    by_odds = plan | {"controls": 0, "control_in": 3}
    older, made = rows(make, early + late, **{k: v for k, v in by_odds.items() if k != "trials"})
    read = standing(older, finished(made))
    assert (read.state, older.ended) == ("shown", "shown")
    assert any("was not fixed beforehand" in text for text in read.cautions)


def test_fault_c3_an_older_plan_of_fresh_pairs_without_controls_shows_nothing(make: Make) -> None:
    # These cups, fresh pairs, a triangle: .40 false "shown" for identical recipes before.
    plan = {"brewing": "fresh pair each trial", "claim": "these cups"}
    test, made = rows(make, answered([True] * 12), **plan)
    read = standing(test, finished(made))
    assert read.state == "open"
    assert "this plan can show nothing" in read.sentence


def test_a_preference_shows_share_ties_and_the_pull_of_the_first_cup(
    client: FlaskClient, make: Make
) -> None:
    choices = [("AB", 1), ("AB", 1), ("BA", 2), ("BA", 1), ("AB", 0)]
    trials = [DONE | {"cups": cups, "answer": at, "sure": None} for cups, at in choices]
    page = page_of(client, make, trials, method="preference")
    assert "Juniper preferred A 3 times, B once, and neither once" in page
    assert "The cup tasted first 3 of 4" in page


def test_a_fixed_preference_ends_at_its_majority(client: FlaskClient, make: Make) -> None:
    # Exact two-sided majority, alpha .05: 9 of 10.
    plan = {"method": "preference", "rule": "fixed number", "fixed_trials": 10}
    for_b = [DONE | {"cups": "AB", "answer": 2, "sure": None}] * 9
    page = page_of(client, make, for_b, **plan)
    assert "That is enough to say that Juniper prefers B." in page
    assert "a coin gives that in 2.1 tests of 100" in page  # 2 * 11 / 1024
    assert "It is one taster's" in page
    short = page_of(client, make, for_b[:3], **plan)
    assert "That is not enough yet to say that either is preferred" in short
    assert "9 or more of 10 for one cup show a preference" in short


def test_a_preference_that_is_stopped_has_no_verdict(client: FlaskClient, make: Make) -> None:
    given = DONE | {"cups": "AB", "answer": 1, "sure": None}
    plan = {"ended": "stopped", "stopped_at": DONE["served_at"], "stopped_why": "moved house"}
    page = page_of(client, make, [given], method="preference", **plan)
    assert "It was stopped before its rule was met, so there is no verdict." in page


@pytest.mark.parametrize(
    ("rule", "given", "charts"),
    [
        ("every morning", {}, {"evidence", "count"}),
        ("fixed number", {"fixed_trials": 18}, {"count"}),
        ("step by step", {"alpha": 0.05, "beta": 0.1}, {"count"}),
    ],
)
def test_charts_are_drawn_where_they_mean_something(
    client: FlaskClient, make: Make, rule: str, given: dict[str, Any], charts: set[str]
) -> None:
    test, _ = rows(make, answered([True, False, True]), rule=rule, **given)
    drawn = figures_of(client, test.id)
    assert set(drawn) == charts
    for figure in drawn.values():
        Figure(figure)
    path = drawn["count"]["data"][-1]
    assert path["y"] == [0, 1, 1, 2]


def test_no_chart_where_guessing_is_not_the_yardstick(client: FlaskClient, make: Make) -> None:
    test, _ = rows(make, **by_controls([True] * 6, [False] * 3))
    assert figures_of(client, test.id) == {}


def test_evidence_follows_the_trials_from_one_on(client: FlaskClient, make: Make) -> None:
    test, _ = rows(make, answered([True] * 4))
    figure = figures_of(client, test.id)["evidence"]
    assert figure["data"][0]["y"] == pytest.approx([1, 2, 4.333, 10, 24.2], rel=2e-3)
    assert figure["layout"]["shapes"][0]["y0"] == 20


def test_a_preference_is_drawn_with_a_line_for_each_cup(client: FlaskClient, make: Make) -> None:
    given = [DONE | {"cups": "AB", "answer": at, "sure": None} for at in (1, 1, 2)]
    test, _ = rows(make, given, method="preference")
    names = [trace.get("name") for trace in figures_of(client, test.id)["count"]["data"]]
    assert {"line for A", "line for B"} <= set(names)


@pytest.mark.parametrize("method", ["triangle", "duo-trio", "tetrad", "three-cup", "paired"])
def test_right_and_wrong_are_told_apart_in_every_method(
    client: FlaskClient, journal: Database, method: str
) -> None:
    attribute = "body" if method in ("paired", "three-cup") else ""
    test = planned(client, method=method, attribute=attribute)
    for right in (True, False, True):
        one_trial(client, journal, test, right)
    assert "2 of 3 right" in text(client.get(f"/blind/{test}").text)


def test_answers_of_several_tasters_are_not_read_as_those_of_one(make: Make) -> None:
    test, made = rows(make, answered([True] * 4))
    for row in made:
        row.taster_name = "Juniper"  # type: ignore[attr-defined]
    assert "It is one taster's" in standing(test, finished(made)).not_said
    for number, row in enumerate(made):
        row.taster_id = number
    assert "Each taster gave one answer" in standing(test, finished(made)).not_said
    made[1].taster_id = 0
    assert "about these tasters only" in standing(test, finished(made)).not_said


def paired(picks: str, *, more: str = "B") -> dict[str, Any]:
    """A test of body with so many answers for A and B."""
    trials = [DONE | {"cups": "AB", "answer": "AB".index(cup) + 1} for cup in picks]
    return {"trials": trials, "method": "paired", "attribute": "body", "more": more}


@pytest.mark.parametrize(
    "plan",
    [
        {},
        {"rule": "fixed number", "fixed_trials": 12},
        {"rule": "step by step", "alpha": 0.05, "beta": 0.1},
    ],
)
def test_fault_1_a_direction_named_the_wrong_way_round_is_found_and_said(
    client: FlaskClient, make: Make, plan: dict[str, Any]
) -> None:
    page = page_of(client, make, **paired("A" * 12), **plan)
    assert "though B was named" in page
    assert "That is enough to say it the other way round: A has more body, not B." in page
    assert "are close enough" not in page
    early = page_of(client, make, **paired("A" * 3), **plan)
    assert "That is not enough yet to say that either cup has more body" in early


def test_both_lines_of_a_paired_test_are_drawn(client: FlaskClient, make: Make) -> None:
    test, _ = rows(make, **paired("AABAAAAA" + "BA" * 20))
    drawn = figures_of(client, test.id)
    names = {trace.get("name") for trace in drawn["count"]["data"]}
    assert {"line for B", "line for A", "close enough", "close enough, from"} <= names
    line = next(trace for trace in drawn["count"]["data"] if trace.get("name") == "line for A")
    assert line["y"][:9] == [None] * 8 + [0]  # 0 of 8, as 8 of 8 for B
    assert drawn["evidence"]["data"][0]["y"][8] == pytest.approx(2**8 / 9 / 8, rel=1e-3)  # 1 of 8


def test_at_this_rate_is_said_from_five_trials_on(client: FlaskClient, make: Make) -> None:
    assert "At this rate" not in page_of(client, make, answered([True, False, True, True]))
    assert "At this rate" in page_of(client, make, answered([True, False, True, True, False]))


def test_fault_9_no_raw_share_of_a_stopped_test_is_shown(client: FlaskClient, make: Make) -> None:
    page = page_of(client, make, answered([True] * 4))
    assert "≈" not in page[page.index("What it says") : page.index("The count inside chance")]
    assert "Difference perceived in 0 % to 100 % of trials" in page


def test_a_fixed_number_all_of_whose_trials_are_in_has_a_distance_with_its_error(
    client: FlaskClient, make: Make
) -> None:
    plan = {"rule": "fixed number", "fixed_trials": 18}
    whole = page_of(client, make, answered([True, False] * 9), **plan)
    assert "d′ and its standard error 1.5 ± 0.6" in whole
    part = page_of(client, make, answered([True] * 10), **plan)
    assert "d′ and its standard error" not in part


def test_fault_8_answers_of_several_people_are_not_pooled_silently(make: Make) -> None:
    given = [DONE | {"cups": "AB", "answer": 1, "sure": None}] * 8
    test, made = rows(make, given, method="preference", several_tasters=True)
    for number, row in enumerate(made):
        row.taster_id = number % 4 // 3
        row.taster_name = "Fern" if row.taster_id else "Juniper"  # type: ignore[attr-defined]
    read = standing(test, finished(made))
    assert (read.state, read.way) == ("shown", "A")
    assert "Each alone: Juniper A 6, B 0; Fern A 2, B 0." in read.sentence
    assert "it is about these tasters only" in read.not_said
    assert read.cautions[0].startswith("A stood first every time")


def test_fault_1_an_older_close_enough_that_looked_one_way_is_not_said_any_more(
    client: FlaskClient, make: Make
) -> None:
    ended = {"ended": "close enough", "stopped_at": NOON}
    test, _ = rows(make, **paired("AAA"), **ended)
    page = text(client.get(f"/blind/{test.id}").text)
    assert "did not rule out the other. So that is not said any more." in page
    assert "Ended" in page
    assert ": undecided" in page[page.index("Ended") :]
    listed = text(client.get("/blind/").text)
    assert "undecided" in listed
    assert "close enough" not in listed


def test_an_older_end_that_its_own_rule_bore_out_stands(client: FlaskClient, make: Make) -> None:
    # 7 of 7: e = 2 (1/8) 2^7 (1 - 2^-8) = 31.9 one way, 16 both ways
    ended = {"ended": "shown", "stopped_at": NOON}
    test, _ = rows(make, **paired("B" * 7), **ended)
    page = text(client.get(f"/blind/{test.id}").text)
    assert "That is enough to say that B has more body." in page
    assert "by the rule it was planned with, which looked one way only" in page


def test_where_a_direction_is_named_no_cup_is_called_wrong(client: FlaskClient, make: Make) -> None:
    test, made = rows(make, **paired("AABA"), title="Body")
    page = client.get(f"/blind/{test.id}").text
    assert ">wrong<" not in page
    assert "Answers for B 1 of 4" in text(page)
    assert "1 of 4 for B" in text(client.get("/blind/").text)
    trial = text(client.get(f"/blind/trials/{made[0].id}").text)
    assert "You chose" in trial
    assert "Not this time" not in trial
