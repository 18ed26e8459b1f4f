"""From a planned brew to what was noted of it, and to the cup as it really was."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import UTC, datetime
from random import Random
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from app.models import Brew, FilterUse
from app.text import search_text
from seed_demo import truth
from seed_demo.calendar import PAIRS, PlannedBrew
from seed_demo.cupboard import Drawer, FilterInUse, OpenBag, Shelf, paper_use
from seed_demo.household import BREWERS, ZONE
from seed_demo.recipes import RECIPES, revision_on
from seed_demo.setup import BrewSetup, setup_of
from seed_demo.slips import NOTES, SLIPS, Slip
from seed_demo.stock import Stock

METER_DAYS = ((37, 92), (172, 223), (276, 345))
# While the meter is on loan, one in so many brews of a recipe is measured.
MEASURED_EVERY = {
    "morning": 7,
    "second": 5,
    "flipped": 5,
    "cone": 3,
    "pot": 2,
    "iced": 3,
    "for two": 2,
    "short": 4,
}
WEIGHED_TOO, WEIGHED = 0.6, 0.08
WITHOUT_RECIPE = 0.04
LARGEST_SLOP_G = 0.5
UNTIMED_S = 195


@dataclass(frozen=True, slots=True)
class Brewed:
    """A brew as it was noted, and what nobody noted of it."""

    plan: PlannedBrew
    brew: Brew
    made: truth.TrueCup
    opened: OpenBag
    filters: list[FilterInUse]
    hard_water: bool
    twice: bool


class Kitchen:
    """Makes one planned brew after the other, in order of time."""

    def __init__(
        self, stock: Stock, main: Shelf, decaf: Shelf, drawer: Drawer, rng: Random
    ) -> None:
        self.stock, self.main, self.decaf = stock, main, decaf
        self.drawer, self.rng = drawer, rng
        self.slips = list(SLIPS)
        self.brewed: Counter[str] = Counter()
        self.noted: Counter[str] = Counter()

    def brew(self, plan: PlannedBrew) -> Brewed:
        self.brewed[plan.recipe] += 1
        slip = self._slip(plan)
        change = plan.change | (slip.change if slip else {})
        opened = self._opened(plan)
        chosen = setup_of(plan, opened.dial, change, self.rng)
        opened.left_g -= chosen.values["dose_g"]
        paper = slip.paper if slip and slip.paper else plan.paper
        filters = self.drawer.stack(chosen.brewer, paper, plan.wall.date())
        effort = self._press(chosen.values, filters)
        made = truth.brew(poured(chosen, effort, paper_use(filters)), self.rng)
        brew = self._noted(plan, chosen, slip)
        brew.bag, brew.stack = opened.bag, stack_of(brew.brewed_at, filters)
        self._measure(plan, brew, made)
        hard_water, twice = chosen.water == "tap", slip is not None and slip.twice
        return Brewed(plan, brew, made, opened, filters, hard_water, twice)

    def _slip(self, plan: PlannedBrew) -> Slip | None:
        everyday = plan.recipe == "morning" and plan.occasion in ("usual", "dull")
        if self.slips and everyday and plan.day >= self.slips[0].day:
            return self.slips.pop(0)
        return None

    def _opened(self, plan: PlannedBrew) -> OpenBag:
        shelf = self.decaf if plan.decaf else self.main
        recipe = RECIPES[plan.recipe].revisions[revision_on(plan.recipe, plan.day)]
        needed_g = recipe.values["dose_g"] + LARGEST_SLOP_G
        if plan.pair is not None and not plan.second:  # both cups of a pair are of one bag
            needed_g += PAIRS[plan.pair].change.get("dose_g", recipe.values["dose_g"])
        return shelf.open_for(needed_g, plan.wall.date())

    def _press(self, values: dict[str, Any], filters: list[FilterInUse]) -> int:
        """Press, harder and slower through a used or doubled paper; returns the effort (1 to 5)."""
        if values["press_s"] is None:
            return 2
        uses, doubled = paper_use(filters), len(filters) - 1
        effort = min(5, max(1, round(1.5 + 0.4 * uses + doubled + self.rng.gauss(0.0, 0.4))))
        values["press_s"] += round(2.2 * (uses - 1) + 7 * doubled + self.rng.gauss(0.0, 1.5))
        values["press_effort"] = effort if self.rng.random() < 0.6 else None
        return effort

    def _noted(self, plan: PlannedBrew, chosen: BrewSetup, slip: Slip | None) -> Brew:
        number = revision_on(plan.recipe, plan.day)
        revision = self.stock.recipes[plan.recipe].revisions[number]
        with_recipe = plan.occasion == "dull" or self.rng.random() >= WITHOUT_RECIPE
        note = slip.note if slip else self._note(plan)
        return Brew(
            entry_key=str(UUID(int=self.rng.getrandbits(128), version=4)),
            brewed_at=plan.wall.replace(tzinfo=ZoneInfo(ZONE)).astimezone(UTC),
            zone=ZONE,
            brewed_on=plan.wall.date(),
            brewer=self.stock.brewers[chosen.brewer],
            grinder=self.stock.grinders[chosen.grinder],
            water=self.stock.waters[chosen.water],
            revision=revision if with_recipe else None,
            grind=chosen.grind,
            grind_setting=str(chosen.mark),
            note=note,
            note_search=search_text(note),
            **chosen.values,
        )

    def _note(self, plan: PlannedBrew) -> str:
        if plan.change and plan.pair is not None:
            return PAIRS[plan.pair].note
        often, notes = NOTES[plan.occasion]
        if self.rng.random() >= often:
            return ""
        self.noted[plan.occasion] += 1
        return notes[self.noted[plan.occasion] % len(notes)]

    def _measure(self, plan: PlannedBrew, brew: Brew, made: truth.TrueCup) -> None:
        measured = any(low <= plan.day <= high for low, high in METER_DAYS) and (
            plan.occasion == "pair" or self.brewed[plan.recipe] % MEASURED_EVERY[plan.recipe] == 0
        )
        if measured:
            brew.tds_pct = truth.measured_pct(made, self.rng)
        if self.rng.random() < (WEIGHED_TOO if measured else WEIGHED):
            brew.beverage_g = truth.weighed_g(made, self.rng)


def stack_of(brewed_at: datetime, filters: list[FilterInUse]) -> list[FilterUse]:
    return [
        FilterUse(position=place, filter=one.filter, brewed_at=brewed_at)
        for place, one in enumerate(filters, start=1)
    ]


def poured(chosen: BrewSetup, effort: int, use: int) -> truth.NotedBrew:
    values = chosen.values
    return truth.NotedBrew(
        kind=BREWERS[chosen.brewer]["kind"],
        size_um=chosen.size_um,
        dose_g=values["dose_g"],
        water_g=values["water_g"],
        bypass_g=values.get("bypass_g", 0.0),
        ice_g=values.get("ice_g", 0.0),
        temp_c=values["water_temp_c"],
        steep_s=values["steep_s"] or UNTIMED_S,
        effort=effort,
        flipped=values["flipped"],
        stirs=values["stirs"],
        paper_use=use,
    )
