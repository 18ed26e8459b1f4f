"""Who is in a group: the database's answer against the rules by hand, and what is read of them."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import timedelta
from random import Random
from typing import Any

import pytest
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.groups import cups as reading
from app.journal.groups.compared import compare_groups
from app.journal.groups.cups import read_cups
from app.journal.groups.wanted import Wanted
from app.models import Brew, Filter
from tests.support.clock import A_DAY, FIRST_BREW
from tests.support.factories import Make

Watch = Callable[[], AbstractContextManager[list[str]]]
PAPER, METAL, CLOTH = "paper", "metal", "cloth"


class Kitchen:
    """A journal of some forty brews, and what is known of each without asking the database."""

    def __init__(self, make: Make, seed: int) -> None:
        rng = Random(seed)
        self.make = make
        materials = (PAPER, METAL, CLOTH)
        self.packs = {of: make.pack(name=of, material=of) for of in materials}
        self.filters = {of: [make.filter(self.packs[of]) for _ in range(2)] for of in materials}
        self.filters[PAPER].append(make.filter(self.packs[PAPER], prior_uses=2))
        self.left = make.brewer(name="Left press")
        self.right = make.brewer(name="Right press", alike_to_id=self.left.id)
        self.brewers = [self.left, self.right, make.brewer(name="Cone", kind="cone")]
        self.bags, self.waters = [make.bag(), make.bag()], [make.water(), make.water(), None]
        self.grinders = [make.grinder(), None]
        self.recipes = [make.recipe("One"), make.recipe("Two"), None]
        self.tasters = [make.taster(), make.taster(name="Sage")]
        self.used: dict[int, int] = {}
        self.brews = [self._brew(rng, n) for n in range(40)]

    def _brew(self, rng: Random, n: int) -> dict[str, Any]:
        every = [one for filters in self.filters.values() for one in filters]
        stack = rng.sample(every, rng.choice((0, 1, 1, 1, 2)))
        told = {
            "bag": rng.choice(self.bags), "brewer": rng.choice(self.brewers),
            "water": rng.choice(self.waters), "grinder": rng.choice(self.grinders),
            "recipe": rng.choice(self.recipes), "grind": rng.choice(("", "fine", "medium")),
            "setting": rng.choice(("", "14", "14,5", "15.5", "about 16")), "stack": stack,
        }  # fmt: skip
        at = FIRST_BREW + n * A_DAY + timedelta(minutes=rng.randint(0, 300))
        brew = self.make.brew(
            told["bag"], told["brewer"], told["recipe"], stack, brewed_at=at,
            water_id=told["water"].id if told["water"] else None,
            grinder_id=told["grinder"].id if told["grinder"] else None,
            grind=told["grind"], grind_setting=told["setting"],
        )  # fmt: skip
        binned = rng.random() < 0.1
        if binned:
            self.make.put_in_the_bin(brew)
        scored = [taster for taster in self.tasters if rng.random() < 0.7]
        for taster in scored:
            self.make.tasting(brew, taster, liking=rng.randint(3, 9), blind=rng.random() < 0.3)
        uses = [None if self._is_metal(one) else self._use(one, binned) for one in stack]
        use = max((use for use in uses if use), default=None)
        return told | {"brew": brew, "binned": binned, "use": use, "scored": scored}

    def _is_metal(self, one: Filter) -> bool:
        return one.pack_id == self.packs[METAL].id

    def _use(self, one: Filter, binned: bool) -> int:
        number = one.prior_uses + self.used.get(one.id, 0) + 1
        if not binned:
            self.used[one.id] = number - one.prior_uses
        return number

    def fitting(self, fits: Callable[[dict[str, Any]], bool]) -> set[tuple[int, int]]:
        """(brew, taster) of the scored cups that fit."""
        return {
            (told["brew"].id, taster.id)
            for told in self.brews
            if not told["binned"] and fits(told)
            for taster in told["scored"]
        }


def number(text: str) -> float | None:
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return None


def in_a(journal: Database, wanted: Wanted) -> set[tuple[int, int]]:
    with Session(journal.reader) as session:
        return {
            (row.brew_id, row.taster_id)
            for row in read_cups(session, wanted, Wanted(), rest=True).rows
            if row.in_a
        }


@pytest.mark.parametrize("seed", range(3))
def test_every_filter_finds_what_it_says(journal: Database, make: Make, seed: int) -> None:
    kitchen = Kitchen(make, seed)
    bag, water, grinder = kitchen.bags[0], kitchen.waters[0], kitchen.grinders[0]
    recipe, taster, paper = kitchen.recipes[0], kitchen.tasters[1], kitchen.packs[PAPER]
    since = kitchen.brews[10]["brew"].brewed_on
    cases: list[tuple[Wanted, Callable[[dict[str, Any]], bool]]] = [
        (Wanted(bag=bag.id), lambda told: told["bag"] is bag),
        (Wanted(water=water.id), lambda told: told["water"] is water),
        (Wanted(grinder=grinder.id), lambda told: told["grinder"] is grinder),
        (Wanted(recipe=recipe.id), lambda told: told["recipe"] is recipe),
        (Wanted(brewer=kitchen.right.id),
         lambda told: told["brewer"] in (kitchen.left, kitchen.right)),
        (Wanted(grind="fine"), lambda told: told["grind"] == "fine"),
        (Wanted(material=PAPER),
         lambda told: any(one.pack_id == paper.id for one in told["stack"])),
        (Wanted(pack=paper.id), lambda told: any(one.pack_id == paper.id for one in told["stack"])),
        (Wanted(stack=0), lambda told: not told["stack"]),
        (Wanted(stack=2), lambda told: len(told["stack"]) == 2),
        (Wanted(use_to=1), lambda told: told["use"] == 1),
        (Wanted(use_from=1), lambda told: told["use"] is not None),
        (Wanted(use_from=3), lambda told: (told["use"] or 0) >= 3),
        (Wanted(use_from=2, use_to=4), lambda told: 2 <= (told["use"] or 0) <= 4),
        (Wanted(setting_from=14.2), lambda told: (number(told["setting"]) or 0) >= 14.2),
        (Wanted(setting_from=14, setting_to=14.5),
         lambda told: told["setting"] in ("14", "14,5")),
        (Wanted(days="weekends"), lambda told: told["brew"].brewed_on.isoweekday() > 5),
        (Wanted(days="weekdays"), lambda told: told["brew"].brewed_on.isoweekday() < 6),
        (Wanted(since=since), lambda told: told["brew"].brewed_on >= since),
        (Wanted(until=since), lambda told: told["brew"].brewed_on <= since),
    ]  # fmt: skip
    for wanted, fits in cases:
        assert in_a(journal, wanted) == kitchen.fitting(fits), wanted
    of_taster = {pair for pair in kitchen.fitting(lambda _told: True) if pair[1] == taster.id}
    assert in_a(journal, Wanted(taster=taster.id)) == of_taster


def test_the_use_read_is_the_one_counted(journal: Database, make: Make) -> None:
    kitchen = Kitchen(make, 5)
    uses = {told["brew"].id: told["use"] for told in kitchen.brews}
    with Session(journal.reader) as session:
        rows = read_cups(session, Wanted(), Wanted(bag=10**6)).rows
    assert {row.brew_id: row.use for row in rows} == {
        row.brew_id: uses[row.brew_id] for row in rows
    }


def test_cups_that_fit_both_are_left_out_and_counted(journal: Database, make: Make) -> None:
    press = make.brewer()
    for n in range(4):
        make.tasting(make.brew(brewer=press, grind="fine" if n < 3 else "medium"))
    make.tasting(make.brew(brewer=make.brewer(name="Cone"), grind="fine"))
    with Session(journal.reader) as session:
        found = compare_groups(session, Wanted(brewer=press.id), Wanted(grind="fine"))
    assert (found.in_both, found.brews) == (3, (1, 1))
    (only,) = found.strata
    assert (only.a.count, only.b.count) == (1, 1)


def test_brews_are_counted_whether_scored_or_not(journal: Database, make: Make) -> None:
    for n in range(6):
        brew = make.brew(grind="fine" if n < 4 else "medium")
        if n % 2:
            make.tasting(brew)
    make.put_in_the_bin(make.brew(grind="fine"))
    with Session(journal.reader) as session:
        found = compare_groups(session, Wanted(grind="fine"), Wanted(), rest=True)
    assert found.brews == (4, 2)
    assert [(one.a.count, one.b.count) for one in found.strata] == [(2, 1)]


def test_only_what_counts_is_read(journal: Database, make: Make) -> None:
    brew = make.brew(grind="fine")
    make.tasting(brew, liking=None)
    make.put_in_the_bin(make.tasting(brew))
    with Session(journal.reader) as session:
        assert not compare_groups(session, Wanted(grind="fine"), Wanted(), rest=True).strata


def test_tasters_stand_apart_and_blind_cups_from_sighted_ones(
    journal: Database, make: Make
) -> None:
    other = make.taster(name="Sage")
    for n in range(8):
        brew = make.brew(grind="fine" if n % 2 else "medium")
        make.tasting(brew, blind=n < 4)
        make.tasting(brew, other)
    with Session(journal.reader) as session:
        found = compare_groups(session, Wanted(grind="fine"), Wanted(grind="medium"))
    kinds = [(one.name, one.blind, one.a.count) for one in found.strata]
    assert sorted(kinds) == [("Juniper", False, 2), ("Juniper", True, 2), ("Sage", False, 4)]


def test_two_tasters_as_groups_are_one_comparison(journal: Database, make: Make) -> None:
    one, other = make.taster(), make.taster(name="Sage")
    for _ in range(6):
        brew = make.brew()
        make.tasting(brew, one, liking=7)
        make.tasting(brew, other, liking=5)
    with Session(journal.reader) as session:
        found = compare_groups(session, Wanted(taster=one.id), Wanted(taster=other.id))
    (only,) = found.strata
    assert (only.name, only.both_days, found.in_both, found.brews) == ("", 6, 0, (6, 6))
    assert only.found is not None
    assert only.found.difference == 2


def test_only_the_latest_brews_are_read(
    journal: Database, make: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reading, "MOST_BREWS", 4)
    brews: list[Brew] = [make.brew(grind="fine" if n % 2 else "medium") for n in range(7)]
    for brew in brews:
        make.tasting(brew)
    with Session(journal.reader) as session:
        found = compare_groups(session, Wanted(grind="fine"), Wanted(grind="medium"))
    assert found.since == brews[3].brewed_on
    assert found.brews == (2, 2)
    assert sum(one.a.count + one.b.count for one in found.strata) == 4


def test_statements_stay_as_few_however_many_cups(
    journal: Database, make: Make, statements: Watch
) -> None:
    def count() -> int:
        with statements() as seen, Session(journal.reader) as session:
            compare_groups(session, Wanted(use_to=1), Wanted(use_from=2))
        return len(seen)

    paper, bags = make.filter(), [make.bag() for _ in range(3)]
    for n in range(4):
        make.tasting(make.brew(bags[n % 3], filters=[paper]))
    few = count()
    for n in range(40):
        make.tasting(make.brew(bags[n % 3], filters=[paper if n % 2 else make.filter()]))
    assert count() == few <= 12
