"""What has to be ready before a sitting, from the journal: beans, filters, brewers, water, ice."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy.orm import Session

from app.brewing.sitting.wanted import FilterWanted
from app.database import Database
from app.journal.sittings.cups import Asked, CupLike
from app.journal.sittings.needs import Need, readiness
from app.journal.sittings.wanted import trials_of
from app.models import BlindTest, Brew
from tests.support.asking import blind_test
from tests.support.clock import NOON
from tests.support.factories import Make


def pair(a: Brew, b: Brew, filters: Sequence[FilterWanted] = (), **changes: Any) -> Asked:
    stack = tuple(filters)
    return Asked(1, {"A": CupLike(a.id, {}, stack), "B": CupLike(b.id, changes, stack)}, pair=True)


def needs(journal: Database, *asked: Asked, kettle_g: float = 1000.0) -> dict[str, Need]:
    with Session(journal.reader) as session:
        found = readiness(session, asked, kettle_g)
        return {need.key: need for need in found.needs}


def test_the_grams_of_each_bag_are_weighed_against_what_is_left(
    journal: Database, make: Make
) -> None:
    bag = make.bag(make.bean(name="Low Tide", roaster=""), net_g=60.0)
    a, b = (make.brew(bag, dose_g=13.5, steep_s=130) for _ in "AB")
    need = needs(journal, pair(a, b))[f"bag:{bag.id}"]
    assert (need.text, need.ready, need.why) == ("27 g of Low Tide", True, "33 g left")
    need = needs(journal, pair(a, b, dose_g=21.0))[f"bag:{bag.id}"]
    assert (need.text, need.ready, need.why) == ("34.5 g of Low Tide", False, "only 33 g left")


def test_a_bag_that_was_never_weighed_is_not_called_empty(journal: Database, make: Make) -> None:
    brew = make.brew(make.bag(net_g=None))
    need = needs(journal, pair(brew, brew))[f"bag:{brew.bag_id}"]
    assert need.ready is None
    assert "weigh it" in need.why


def test_a_finished_bag_is_missing_however_much_is_in_it(journal: Database, make: Make) -> None:
    brew = make.brew(make.bag(finished_on=NOON.date()))
    need = needs(journal, pair(brew, brew))[f"bag:{brew.bag_id}"]
    assert (need.ready, need.why) == (False, "this bag is finished: choose another")


@pytest.mark.parametrize(
    ("prior_uses", "retired", "ready", "why"),
    [
        ((7, 7), False, True, "White round no. 1, White round no. 2"),
        ((7, 5), False, False, "White round no. 2 is nearest and needs 2 more brews"),
        ((6, 9), False, False,
         "White round no. 1 is nearest and needs 1 more brew; a fresh one is nearest and needs 7 "
         "more brews"),
        ((7, 7), True, False, "2 fresh ones need 7 more brews each"),
    ],
)  # fmt: skip
def test_papers_at_their_eighth_use(
    journal: Database, make: Make, prior_uses: tuple[int, int], retired: bool, ready: bool, why: str
) -> None:
    pack, brew = make.pack(count=5), make.brew()
    for uses in prior_uses:
        make.filter(pack, prior_uses=uses, retired_on=NOON.date() if retired else None)
    need = needs(journal, pair(brew, brew, [FilterWanted(pack.id, 8)]))[f"filter:{pack.id}:8"]
    assert (need.text, need.ready, need.why) == ("2 × White round, 8th use", ready, why)


def test_with_an_empty_pack_and_only_retired_papers_none_gets_there(
    journal: Database, make: Make
) -> None:
    pack, brew = make.pack(count=1), make.brew()
    make.filter(pack, prior_uses=7, retired_on=NOON.date())
    need = needs(journal, pair(brew, brew, [FilterWanted(pack.id, 8)]))[f"filter:{pack.id}:8"]
    assert need.ready is False
    assert "none is left that can get there" in need.why


def test_uses_in_the_journal_count_towards_the_wanted_one(journal: Database, make: Make) -> None:
    pack = make.pack(count=2)
    paper, other = make.filter(pack), make.filter(pack, prior_uses=2)
    brews = [make.brew(filters=[paper]) for _ in range(3)]
    make.put_in_the_bin(brews[-1])
    asked = pair(brews[0], brews[0], [FilterWanted(pack.id, 3)])
    need = needs(journal, asked)[f"filter:{pack.id}:3"]
    both = f"White round no. {paper.number}, White round no. {other.number}"
    assert (need.ready, need.why) == (True, both)


def test_one_metal_filter_serves_one_brew_after_another(journal: Database, make: Make) -> None:
    pack, brew = make.pack(name="Metal round", material="metal", count=1), make.brew()
    make.filter(pack)
    asked = pair(brew, brew, [FilterWanted(pack.id)])
    need = needs(journal, asked)[f"filter:{pack.id}:0"]
    # Two at a time where two brewers are; here is one, and one after the other.
    assert (need.text, need.ready) == ("Metal round", True)


def test_water_is_told_in_kettles_and_ice_by_weight(journal: Database, make: Make) -> None:
    a = make.brew(water_g=190.0, bypass_g=60.0, ice_g=70.0)
    found = needs(journal, pair(a, a, water_g=310.0), kettle_g=800.0)
    assert found["kettle"].text == "620 ml of water to heat: 1 kettle of 800 ml"
    assert found["kettle"].ready is None
    assert found["ice"].text == "140 g of ice"
    assert needs(journal, pair(a, a, water_g=900.0), kettle_g=800.0)["kettle"].text == (
        "1210 ml of water to heat: 2 kettles of 800 ml"
    )


def test_alike_brewers_count_together_and_those_in_the_bin_are_missing(
    journal: Database, make: Make
) -> None:
    left = make.brewer(name="Left press")
    right = make.brewer(name="Right press", alike_to_id=left.id)
    a, b = make.brew(brewer=left), make.brew(brewer=right)
    need = needs(journal, pair(a, b))[f"brewer:{left.id}"]
    assert (need.text, need.ready, need.why) == ("Left press", True, "2 alike")
    make.put_in_the_bin(right)
    assert needs(journal, pair(a, b))[f"brewer:{left.id}"].why == "one of it"
    make.put_in_the_bin(left)
    assert needs(journal, pair(a, b))[f"brewer:{left.id}"].ready is False


def test_a_test_that_is_to_be_planned_or_has_ended_is_missing(
    journal: Database, make: Make
) -> None:
    brew = make.brew()
    cups = {"A": CupLike(brew.id), "B": CupLike(brew.id, {"stirs": 7})}
    to_plan = needs(journal, Asked(4, cups, trials=1))["test of 4"]
    assert (to_plan.ready, to_plan.why) == (False, "still to be planned")
    test = blind_test(make)
    assert needs(journal, Asked(4, cups, test_id=test.id, trials=1))[f"test:{test.id}"].ready
    make.save(test).ended = "stopped"
    test.stopped_at = NOON + timedelta(hours=1)
    make.save(test)
    over = needs(journal, Asked(4, cups, test_id=test.id, trials=1))[f"test:{test.id}"]
    assert (over.ready, over.why) == (False, "it has ended: plan another")


@pytest.mark.parametrize(
    ("given", "cups", "brews"),
    [
        # Served of A, of B and by lot; brewed for each trial.
        ({"method": "paired"}, (1, 1, 0), (1, 1, 0)),
        ({"method": "triangle", "brewing": "one pair", "attribute": "", "more": None,
          "claim": "these cups"}, (1, 1, 1), (0, 0, 0)),
        ({"method": "triangle", "brewing": "every cup its own", "attribute": "", "more": None},
         (1, 1, 1), (1, 1, 1)),
        ({"method": "three-cup", "brewing": "every cup its own"}, (2, 1, 0), (2, 1, 0)),
        ({"method": "tetrad", "brewing": "every cup its own", "attribute": "", "more": None},
         (2, 2, 0), (2, 2, 0)),
        ({"method": "A-not-A", "brewing": "every cup its own", "attribute": "", "more": None},
         (0, 0, 1), (0, 0, 1)),
        ({"method": "A-not-A", "brewing": "every cup its own", "attribute": "", "more": None,
          "pouring": "solo"}, (1, 1, 0), (1, 1, 0)),
        ({"method": "A-not-A", "brewing": "every cup its own", "attribute": "", "more": None,
          "reminder": True}, (1, 0, 1), (1, 0, 1)),
        ({"method": "same-different", "brewing": "every cup its own", "attribute": "",
          "more": None}, (0, 0, 2), (0, 0, 2)),
        ({"method": "duo-trio", "brewing": "every cup its own", "attribute": "", "more": None},
         (1, 1, 1), (1, 1, 1)),
    ],
)  # fmt: skip
def test_what_a_trial_serves_and_brews_follows_from_its_plan(
    given: dict[str, Any], cups: tuple[int, int, int], brews: tuple[int, int, int]
) -> None:
    plain = {"method": "paired", "brewing": "fresh pair each trial", "more": "B", "reminder": False}
    test = BlindTest(**plain | {"pouring": "helper"} | given)
    trials = trials_of(test, 2)
    assert trials is not None
    assert (trials.served_a, trials.served_b, trials.served_by_lot) == cups
    assert (trials.brews_a, trials.brews_b, trials.brews_by_lot) == brews
    assert trials.count == 2
