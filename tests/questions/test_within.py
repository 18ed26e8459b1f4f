"""What the question's page says its answer was tested within, and which evidence that rests on."""

from __future__ import annotations

import csv
import json
import re
from datetime import timedelta
from io import StringIO

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import BlindTest, QuestionLeftTest, Trial, TrialBrew
from app.models.settings import Settings
from tests.support import page
from tests.support.asking import ask, blind_test, number, pair, says, tie
from tests.support.clock import NOON
from tests.support.factories import Make

NOTHING = "Nothing was tasted for this question yet, so nothing is tested."


def limits(client: FlaskClient, address: str) -> str:
    """The sentences of the card, as read."""
    found = re.search(
        r"Tested within</h2></div>(.*?)</?(div|section)", client.get(address).text, re.S
    )
    assert found
    return page.text(found[1]).replace("\N{NO-BREAK SPACE}", " ").strip()


def trials_of(journal: Database, test: BlindTest) -> list[Trial]:
    with Session(journal.writer, expire_on_commit=False) as session:
        query = select(Trial).where(Trial.test_id == test.id).order_by(Trial.number)
        return list(session.scalars(query))


def test_a_question_with_nothing_says_so(client: FlaskClient, make: Make) -> None:
    address = ask(client, factor="steep")
    assert limits(client, address) == NOTHING
    tie(client, address, "brew", make.brew())  # nobody said how it tasted
    assert limits(client, address) == NOTHING


def test_a_fair_side_by_side_is_told_with_its_rule_and_its_brews(
    client: FlaskClient, make: Make
) -> None:
    address, saved = ask(client, factor="steep"), pair(make, "b", steep_s=180)
    tie(client, address, "side_by_side", saved)
    told = limits(client, address)
    assert told.startswith("Compared were cups brewed for 2 and 3 min. Tested in two brews of one")
    assert "Tasted in one sighted side by side. Who tasted was not noted." in told
    assert "Not noted: days off roast, filter, hardness of the water and stirs." in told
    assert "Not tested: times under 2 min or over 3 min, a finer or coarser grind" in told
    assert f'href="{address}/within">Where each limit comes from' in client.get(address).text
    shown = client.get(f"{address}/within").text
    assert f'href="/brews/{saved.brew_a_id}">Brew {saved.brew_a_id}</a>' in shown
    assert f'href="/side-by-side/{saved.brew_a_id}/{saved.brew_b_id}">Side by side' in shown
    assert "How these limits are written" in shown
    assert "At most 5 neighbours" in says(client, "/questions/limits")


@pytest.mark.parametrize("b", [{}, {"water_temp_c": 80.0}])
def test_side_by_sides_that_do_not_count_are_left_out(
    client: FlaskClient, make: Make, b: dict[str, float]
) -> None:
    """A repeat, and one about another thing."""
    address = ask(client, factor="steep")
    tie(client, address, "side_by_side", pair(make, "b", **b))
    assert limits(client, address) == NOTHING


def test_scores_after_a_reveal_count_nowhere(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    address, brew = ask(client), make.brew()
    tie(client, address, "brew", brew)
    trial = trials_of(journal, blind_test(make, "r"))[0]
    make.tasting(brew, after_trial_id=trial.id)
    assert limits(client, address) == NOTHING
    make.tasting(brew, make.taster(name="Sorrel"))
    assert "Tasted by one taster, in one scored brew, not blind." in limits(client, address)


def test_brews_in_the_bin_are_left_out_and_what_still_counts_is_told(
    client: FlaskClient, make: Make
) -> None:
    address, brew = ask(client, factor="steep"), make.brew()
    make.tasting(brew)
    tie(client, address, "brew", brew)
    make.put_in_the_bin(brew)
    assert limits(client, address) == NOTHING
    saved = pair(make, "b", steep_s=180)
    tie(client, address, "side_by_side", saved)
    make.put_in_the_bin(saved)
    told = limits(client, address)
    assert "One side by side of these is in the bin and still counts." in told
    neither = pair(make, "neither", steep_s=300)
    tie(client, address, "side_by_side", neither)
    make.put_in_the_bin(neither)  # it adds nothing to the strength
    assert limits(client, address) == told


def test_blind_trials_tell_of_the_brews_tied_to_them(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    address, test = ask(client, factor="water temperature"), blind_test(make, "rwr")
    tie(client, address, "blind_test", test)
    assert limits(client, address) == (
        "Tasted by one taster, in three blind trials. What was brewed for the three blind trials "
        "was not noted. So it is not known within which limits it was tested."
    )
    first = trials_of(journal, test)[0]
    for cup, warmth in (("A", 84.0), ("B", 93.0)):
        brew = make.brew(water_temp_c=warmth)
        make.save(TrialBrew(trial_id=first.id, brew_id=brew.id, cup=cup))
    told = limits(client, address)
    assert told.startswith("Compared were cups brewed at 84 and 93 °C. Tested in two brews")
    assert "What was brewed for two of the three blind trials was not noted." in told
    assert "Not tested, as far as was noted: water under 84 °C or over 93 °C" in told


def test_a_test_taken_away_still_tells_its_brews(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    address, test = ask(client), blind_test(make, "rw")
    for trial in trials_of(journal, test):
        make.save(TrialBrew(trial_id=trial.id, brew_id=make.brew().id, cup="A"))
    make.save(QuestionLeftTest(question_id=number(address), test_id=test.id, tied_at=NOON))
    told = limits(client, address)
    assert "Tasted by one taster, in two blind trials." in told
    assert "One blind test of these is in the bin or taken away and still counts." in told
    assert "What was brewed" not in told


@pytest.mark.parametrize(("hours", "known"), [(-1, True), (-30, False)])
def test_two_cups_of_one_pair_are_the_brews_of_the_plan(
    client: FlaskClient, make: Make, hours: int, known: bool
) -> None:
    """Where they were brewed for it: the pair of another day was not what was tasted."""
    at = NOON + timedelta(hours=hours)
    a, b = (make.brew(brewed_at=at, steep_s=steep) for steep in (130, 170))
    plan = {"claim": "these cups", "brewing": "one pair", "a_brew_id": a.id, "b_brew_id": b.id}
    address, test = ask(client, factor="steep"), blind_test(make, "rw", **plan)
    tie(client, address, "blind_test", test)
    told = limits(client, address)
    assert ("Compared were cups brewed for 2.2 and 2.8 min." in told) is known
    assert ("What was brewed for the two blind trials was not noted." in told) is not known


def test_results_that_are_hidden_tell_nothing_of_what_was_poured(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    hidden = {
        "rule": "fixed number",
        "fixed_trials": 20,
        "controls": 4,
        "attribute": "",
        "more": None,
    }
    address, test = ask(client), blind_test(make, "rrr", **hidden | {"method": "triangle"})
    tie(client, address, "blind_test", test)
    for trial in trials_of(journal, test):
        make.save(TrialBrew(trial_id=trial.id, brew_id=make.brew(water_temp_c=71).id, cup="A"))
    told = limits(client, address)
    assert "What was brewed for three hidden trials is not told before their test ends." in told
    assert "71" not in told


def test_what_the_household_does_besides_is_named(client: FlaskClient, make: Make) -> None:
    address, saved = ask(client, factor="steep"), pair(make, "b", steep_s=180)
    tie(client, address, "side_by_side", saved)
    assert "cups over ice" not in limits(client, address)
    make.brew(ice_g=85.0, water_g=135.0)
    assert "cups over ice" in limits(client, address)


def test_frozen_days_and_alike_brewers_are_read_from_the_journal(
    client: FlaskClient, make: Make
) -> None:
    left = make.brewer(name="Left cone")
    right = make.brewer(name="Right cone", alike_to_id=left.id, kind=left.kind)
    bag = make.bag(roasted_on=(NOON - timedelta(days=30)).date())
    make.frozen(bag, (NOON - timedelta(days=20)).date(), (NOON - timedelta(days=8)).date())
    address = ask(client)
    for brewer in (left, right):
        brew = make.brew(bag, brewer, brewed_at=NOON, filters=[make.filter()])
        make.tasting(brew, blind=True)
        tie(client, address, "brew", brew)
    told = limits(client, address)
    assert "18 days off roast, days in the freezer not counted." in told
    assert "that are alike, through one kind of paper filter, with a fresh filter" in told
    assert "Tasted by one taster, in two scored brews, all of them blind." in told


def test_the_household_reads_its_own_units(client: FlaskClient, make: Make) -> None:
    make.save(Settings(id=1, temp_unit="°F", mass_unit="oz", locale="de"))
    address = ask(client, factor="water temperature")
    tie(client, address, "side_by_side", pair(make, "b", water_temp_c=80.0))
    told = limits(client, address)
    assert "Compared were cups brewed at 176 and 198 °F." in told
    assert "with 7,8 oz of water" in told


def test_the_files_hold_the_limits(client: FlaskClient, make: Make) -> None:
    address, saved = ask(client, factor="steep"), pair(make, "b", steep_s=180)
    tie(client, address, "side_by_side", saved)
    data = json.loads(client.get(f"{address}/export.json").text)["tested_within"]
    assert data["tested"][0] == "Compared were cups brewed for 2 and 3 min."
    steep = next(one for one in data["phrases"] if one["text"] == "for 2 and 3 min")
    assert steep["brew_ids"] == [saved.brew_a_id, saved.brew_b_id]
    assert steep["noted"] == 2
    assert steep["rule"].startswith("From the least to the greatest")
    rows = csv.DictReader(StringIO(client.get(f"{address}/export.csv").text))
    row = next(row for row in rows if row["kind"] == "tested within")
    assert row["says"] == " ".join([*data["tested"], data["not_tested"]])
