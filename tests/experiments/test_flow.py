"""An experiment from its plan to what it found, a page after the other."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.names.changing import merge
from app.journal.names.listing import Named
from app.models import Bag, Brew, Experiment, ExperimentFactor, ExperimentRun, Taster
from tests.support import page
from tests.support.asking import says
from tests.support.clock import NOON
from tests.support.factories import Make

Freeze = Callable[[Any], None]
DRAWN = 'class="chart"'
BASE = {"dose_g": 14.5, "water_g": 215.0, "steep_s": 95, "water_temp_c": 92.0, "grind": "medium"}


@pytest.fixture
def bag(make: Make) -> Bag:
    """A bag with one brew that was tasted."""
    own = make.bag(make.bean(name="Fig"), net_g=250.0)
    make.tasting(make.brew(own, **BASE), make.taster(name="Juniper"), liking=6)
    return own


def form(client: FlaskClient, path: str, action: str) -> dict[str, Any]:
    """What the form of a page that goes to `action` would send."""
    html = client.get(path).text
    return next(
        values for given, values in page.read(html).forms
        if (given.get("action") or path).partition("?")[0] == action
    )  # fmt: skip


def plan(client: FlaskClient, bag: Bag, **other: Any) -> str:
    """Save the plan as proposed, but for `other`; the address of the experiment."""
    sent = form(client, f"/experiments/new?bag={bag.id}", "/experiments/new")
    answer = client.post("/experiments/new", data=sent | other)
    assert answer.status_code == 303, page.text(answer.text)
    return str(answer.location)


def rows(journal: Database, table: type[Any]) -> list[Any]:
    with Session(journal.reader, expire_on_commit=False) as session:
        return list(session.scalars(select(table).order_by(table.id)))


def brew_next(client: FlaskClient, **other: Any) -> str:
    """From Today: the brew that waits, saved as it is filled in but for `other`."""
    link = re.search(r'href="(/brews/new\?run=\d+)"', client.get("/").text)
    assert link, "nothing waits on Today"
    sent = form(client, link[1], "/brews/new")
    answer = client.post("/brews/new", data=sent | other)
    assert answer.status_code == 303, page.text(answer.text)
    return str(answer.location)


def taste(client: FlaskClient, brew_id: int, liking: int) -> None:
    sent = form(client, f"/brews/{brew_id}/taste", f"/brews/{brew_id}/taste")
    answer = client.post(f"/brews/{brew_id}/taste", data=sent | {"liking": str(liking)})
    assert answer.status_code == 303, page.text(answer.text)


def test_what_a_plan_takes_and_can_tell_is_said_before_anything_is_saved(
    client: FlaskClient, bag: Bag, journal: Database
) -> None:
    said = says(client, f"/experiments/new?bag={bag.id}")
    assert "10 mornings: each of 4 corners 2 times, the middle 2 times" in said
    assert "145 g of beans, and the bag holds 235.5 g" in said
    assert "It finds a change of 2.9 points from low to high in 8 of 10 cases" in said
    assert "a spread of 0.8 points is assumed" in said
    assert rows(journal, Experiment) == []


def test_ten_mornings_from_the_plan_to_the_contour_one_of_them_missed(
    client: FlaskClient, bag: Bag, journal: Database, freeze: Freeze
) -> None:
    where = plan(client, bag)
    factors = {
        row.field: (row.low, row.high) for row in Session(journal.reader).scalars(
            select(ExperimentFactor)
        )
    }  # fmt: skip
    assert factors == {"water_temp_c": (89.0, 95.0), "steep_s": (80.0, 110.0)}
    assert "to brew" in says(client, where)
    for morning in range(10):
        # The fourth morning is missed: nothing expires.
        freeze(NOON + timedelta(days=morning + (morning > 3)))
        assert f"brew {morning + 1} of 10" in says(client, "/")
        assert brew_next(client) == f"/experiments/runs/{rows(journal, ExperimentRun)[morning].id}"
        run = rows(journal, ExperimentRun)[morning]
        brew = rows(journal, Brew)[-1]
        assert run.brew_id == brew.id
        assert brew.water_temp_c == {-1: 89, 0: 92, 1: 95}[run.levels[0]]
        assert brew.steep_s == {-1: 80, 0: 95, 1: 110}[run.levels[1]]
        assert (brew.bag_id, brew.dose_g, brew.water_g) == (bag.id, 14.5, 215)
        taste(client, brew.id, 5 + 3 * (run.levels[1] > 0) + (run.levels[1] == 0))
    html = client.get(where).text
    said = page.text(html).replace("\xa0", " ")
    assert "10 of 10 brews count" in said
    assert "From steep 1:20 to 1:50 the liking rises by 3 points" in said
    assert "You knew what was changed, so what you expect is in the scores." in said
    assert "One bag, one taster" in said
    assert DRAWN in html
    assert "The surface is highest at" in said
    assert "/brews/new?run=" not in client.get("/").text
    link = re.search(r'href="(/brews/two/new\?[^"]*)"', html)
    assert link
    both = form(client, link[1].replace("&amp;", "&"), "/brews/two/new")
    assert both["a-steep_s"] == ["1:35"]
    assert both["b-steep_s"] == ["1:50"]


def fill(make: Make, journal: Database, bag: Bag, **changed: dict[str, Any]) -> list[Brew]:
    """A brew for each run that waits, tasted, at its settings but for `changed` (by place, p1)."""
    with Session(journal.reader) as session:
        spans = {
            one.field: (one.low, (one.low + one.high) / 2, one.high)
            for one in session.scalars(select(ExperimentFactor).order_by(ExperimentFactor.place))
        }
    made = []
    taster = rows(journal, Taster)[0]
    for run in rows(journal, ExperimentRun):
        if run.skipped_at:
            continue
        at = {name: ends[level + 1] for (name, ends), level
              in zip(spans.items(), run.levels, strict=True)}  # fmt: skip
        given = BASE | at | changed.get(f"p{run.place}", {})
        liking = given.pop("liking", 6 + run.levels[1])
        brew = make.brew(given.pop("bag", bag), brewed_at=NOON + timedelta(days=run.place), **given)
        make.tasting(brew, taster, liking=liking)
        run.brew_id = brew.id
        make.save(run)
        made.append(brew)
    return made


def test_brews_made_otherwise_count_as_they_were_made_and_those_too_far_off_do_not(
    client: FlaskClient, bag: Bag, journal: Database, make: Make
) -> None:
    where = plan(client, bag)
    other = make.bag(make.bean(name="Other"))
    made = fill(make, journal, bag, p2={"steep_s": 122}, p3={"steep_s": 600}, p4={"bag": other},
                p5={"water_temp_c": None}, p6={"stirs": 4})  # fmt: skip
    said = says(client, where)
    assert "7 of 10 brews count, 3 not counted" in said
    assert "Brewed with steep 2:02, and counts so." in said
    assert "Not counted: steep too far from all that was planned." in said
    assert "Not counted: of another bag." in said
    assert "Not counted: water temperature not noted as a number." in said
    assert "Brewed with steep 10:00" not in said
    # What is put in the bin waits again, and what comes back counts again.
    client.post(f"/brews/{made[0].id}/bin")
    assert "6 of 10 brews count, 1 to brew, 3 not counted" in says(client, where)
    assert "brew 10 of 10" in says(client, "/")
    client.post(f"/brews/{made[0].id}/restore")
    assert "7 of 10 brews count, 3 not counted" in says(client, where)


def test_what_is_left_out_takes_what_it_tells_along_and_says_so(
    client: FlaskClient, bag: Bag, journal: Database, make: Make
) -> None:
    where = plan(client, bag)
    for run in rows(journal, ExperimentRun):
        if run.levels in ([1, 1], [0, 0]):
            client.post(f"/experiments/runs/{run.id}/skip")
    fill(make, journal, bag)
    said = says(client, where)
    assert "6 of 10 brews count, 4 left out" in said
    assert "Cannot be told apart with these brews: middle against the corners" in said
    assert "beyond chance" in said
    run = next(run for run in rows(journal, ExperimentRun) if run.skipped_at)
    client.post(f"/experiments/runs/{run.id}/take-up")
    assert "6 of 10 brews count, 1 to brew, 3 left out" in says(client, where)


def test_a_brew_whose_cup_is_scored_cannot_be_left_out_any_more(
    client: FlaskClient, bag: Bag, journal: Database, make: Make
) -> None:
    where = plan(client, bag)
    fill(make, journal, bag)
    assert "Leave out" not in says(client, where)
    run = rows(journal, ExperimentRun)[0]
    answer = client.post(f"/experiments/runs/{run.id}/skip", follow_redirects=True)
    assert "leaving it out now would be choosing by the score" in page.text(answer.text)
    assert "10 of 10 brews count" in says(client, where)


def test_it_can_be_stopped_early_binned_and_taken_back(
    client: FlaskClient, bag: Bag, journal: Database
) -> None:
    where = plan(client, bag)
    client.post(f"{where}/end")
    assert "/brews/new?run=" not in client.get("/").text
    run_id = rows(journal, ExperimentRun)[0].id
    assert client.get(f"/brews/new?run={run_id}").location == f"/experiments/runs/{run_id}"
    client.post(f"{where}/take-up")
    assert "/brews/new?run=" in client.get("/").text
    client.post(f"{where}/bin")
    assert "/brews/new?run=" not in client.get("/").text
    assert "Experiment" in says(client, "/bin")
    client.post(f"{where}/restore")
    assert "stopped early" in says(client, f"/history/experiment/{rows(journal, Experiment)[0].id}")
    assert "/brews/new?run=" in client.get("/").text


def test_a_brew_counts_for_one_run_once(client: FlaskClient, bag: Bag, journal: Database) -> None:
    where = plan(client, bag)
    run_id = rows(journal, ExperimentRun)[0].id
    sent = form(client, f"/brews/new?run={run_id}", "/brews/new")
    also = form(client, f"/brews/new?run={run_id}", "/brews/new")
    assert client.post("/brews/new", data=sent).status_code == 303
    said = page.text(client.post("/brews/new", data=also, follow_redirects=True).text)
    assert "This run has its brew already" in said
    assert rows(journal, ExperimentRun)[0].brew_id == rows(journal, Brew)[1].id
    assert "1 to taste, 9 to brew" in says(client, where)


def test_what_is_wrong_with_a_plan_is_said_and_keeps_what_was_typed(
    client: FlaskClient, bag: Bag, journal: Database
) -> None:
    sent = form(client, f"/experiments/new?bag={bag.id}", "/experiments/new")
    wrong = {
        "low-steep_s": "2:00", "high-steep_s": "1:00", "dose_g-vary": "y", "high-dose_g": "heaps",
    }  # fmt: skip
    answer = client.post("/experiments/new", data=sent | wrong)
    said = page.text(answer.text)
    assert answer.status_code == 422
    assert "The low setting has to be below the high one." in said
    assert "Please write a number" in said
    assert 'value="heaps"' in answer.text
    assert "What it takes" not in said
    none = {name: value for name, value in sent.items() if not name.endswith("-vary")}
    said = page.text(client.post("/experiments/new", data=none).text)
    assert "Choose two or three things to vary." in said
    close = {"low-steep_s": "1:30", "high-steep_s": "1:35"}
    assert "further apart" in client.post("/experiments/new", data=sent | close).text
    three = client.post("/experiments/new", data=sent | {"dose_g-vary": "y", "again": "1"})
    assert "12 mornings: each of 8 corners once, the middle 4 times" in page.text(three.text)
    assert rows(journal, Experiment) == []


def test_too_few_beans_are_said_beforehand(client: FlaskClient, make: Make) -> None:
    own = make.bag(make.bean(name="Fig"), net_g=100.0)
    make.tasting(make.brew(own, **BASE), liking=6)
    said = says(client, f"/experiments/new?bag={own.id}")
    assert "145 g of beans, but the bag holds 85.5 g: enough for 5 brews of 10" in said


def test_an_empty_journal_says_what_is_missing(client: FlaskClient, make: Make) -> None:
    assert "None planned yet" in says(client, "/experiments/")
    assert "No open bag" in says(client, "/experiments/new")
    bag = make.bag()
    assert "Which?" in says(client, "/experiments/new")
    assert "Brew one cup first" in says(client, f"/experiments/new?bag={bag.id}")
    make.brew(bag, **BASE)
    assert "Taste one cup first" in says(client, f"/experiments/new?bag={bag.id}")


def test_a_page_without_brews_draws_no_chart_of_nothing(client: FlaskClient, bag: Bag) -> None:
    html = client.get(plan(client, bag)).text
    assert DRAWN not in html
    assert "No brews count so far; from 6 on there is something to read." in page.text(html)


def test_three_things_are_varied_and_a_grinder_s_setting_is_one_of_them(
    client: FlaskClient, bag: Bag, journal: Database, make: Make
) -> None:
    make.brew(bag, grind_setting="22", **BASE)
    where = plan(client, bag, **{
        "grind_setting-vary": "y", "low-grind_setting": "20", "high-grind_setting": "25",
    })  # fmt: skip
    brew_next(client)
    run, brew = rows(journal, ExperimentRun)[0], rows(journal, Brew)[-1]
    assert len(rows(journal, ExperimentRun)) == 12
    assert float(brew.grind_setting) == {-1: 20, 0: 22.5, 1: 25}[run.levels[2]]
    assert "1 to taste, 11 to brew" in says(client, where)


def test_tasters_that_turn_out_to_be_one_person_keep_their_experiment(
    client: FlaskClient, bag: Bag, journal: Database, make: Make
) -> None:
    where = plan(client, bag)
    fill(make, journal, bag)
    first, second = rows(journal, Taster)[0], make.taster(name="Juno")
    with Session(journal.writer) as session, session.begin():
        one, other = (Named("taster", row.id, row.name, "", ()) for row in (first, second))
        merge(session, one, other, NOON)
    said = says(client, where)
    assert "scored by Juno" in said
    assert "10 of 10 brews count" in said
