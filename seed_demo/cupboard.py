"""The stock as the year goes by: which bag is open, which filters are in use."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random
from typing import Any

from app.models import Bag, BagCorrection, Bean, Filter, FilterPack, FrozenSpan
from seed_demo.calendar import HOLIDAYS
from seed_demo.household import CURRENCY, MERITS, METAL_PRIOR_USES, VERDICTS, Bought

DIALS = (0, 1, 0, -1)
MOST_USES = (1, 2, 3, 3, 4, 4, 5, 6)
DAYS_FROM_ROAST_TO_FREEZER = 4
MOST_LEFT_G = 24.0  # in a finished bag without a word


@dataclass(slots=True)
class OpenBag:
    """An open bag: what is left in it, and how many marks off the usual it is ground."""

    bag: Bag
    merit: float
    left_g: float
    dial: int
    verdict: tuple[str, str] = ("", "")

    def rest_days(self, on: date) -> int | None:
        """Days since roasting, those in the freezer left out."""
        if self.bag.roasted_on is None:
            return None
        frozen = sum(
            (min(span.to_on or on, on) - span.from_on).days
            for span in self.bag.frozen
            if span.from_on <= on
        )
        return (on - self.bag.roasted_on).days - frozen


class Shelf:
    """Bags that are opened one after the other."""

    def __init__(self, bought: Sequence[Bought], beans: dict[str, Bean], first_day: date) -> None:
        self.waiting: Iterator[Bought] = iter(bought)
        self.beans, self.first_day = beans, first_day
        self.open: OpenBag | None = None
        self.last_on, self.opened = first_day, 0

    def open_for(self, dose_g: float, on: date) -> OpenBag:
        """The bag with enough left for this dose; the one before is finished if it has not."""
        if self.open is None or self.open.left_g < dose_g:
            if self.open is not None:
                self._finish(self.open)
            self.open = self._opened(next(self.waiting), on)
        self.last_on = on
        return self.open

    def _finish(self, spent: OpenBag) -> None:
        spent.bag.finished_on = self.last_on
        spent.bag.buy_again, spent.bag.buy_again_note = spent.verdict
        spent.bag.frozen = [s for s in spent.bag.frozen if s.from_on < self.last_on]
        if spent.bag.corrections or spent.left_g > MOST_LEFT_G:
            spent.bag.corrections.append(
                BagCorrection(
                    noted_on=self.last_on,
                    grams=-round(spent.left_g, 1),
                    why="the last beans, too few to brew",
                )
            )

    def _opened(self, bought: Bought, on: date) -> OpenBag:
        frozen, roasted_on = self._storage(bought, on)
        gone = [
            BagCorrection(noted_on=on + timedelta(days=5), grams=grams, why=why)
            for grams, why in bought.gone
        ]
        bag = new_bag(bought, self.beans, roasted_on, frozen)
        bag.opened_on, bag.corrections = on, gone
        left_g = bought.net_g + sum(correction.grams for correction in gone)
        self.opened += 1
        said = VERDICTS.get(bought.bean, ("", ""))
        return OpenBag(bag, MERITS[bought.bean], left_g, self._dial(), said)

    def _dial(self) -> int:
        return DIALS[self.opened % len(DIALS)]

    def _storage(self, bought: Bought, on: date) -> tuple[list[FrozenSpan], date | None]:
        if bought.rest_days is None:
            return [], None
        if bought.freezer == "before":
            roasted_on = on - timedelta(days=bought.rest_days + bought.frozen_days)
            frozen_on = roasted_on + timedelta(days=DAYS_FROM_ROAST_TO_FREEZER)
            until = frozen_on + timedelta(days=bought.frozen_days)
            return [FrozenSpan(from_on=frozen_on, to_on=until)], roasted_on
        return self._while_away(bought, on), on - timedelta(days=bought.rest_days)

    def _while_away(self, bought: Bought, on: date) -> list[FrozenSpan]:
        if bought.freezer != "away":
            return []
        spans = [[self.first_day + timedelta(days=n) for n in span] for span in HOLIDAYS]
        coming = [(first, last) for first, last in spans if first > on]
        return [FrozenSpan(from_on=first, to_on=last) for first, last in coming[:1]]


def new_bag(
    bought: Bought, beans: dict[str, Bean], roasted_on: date | None, frozen: list[FrozenSpan]
) -> Bag:
    return Bag(
        bean=beans[bought.bean],
        roasted_on=roasted_on,
        net_g=bought.net_g,
        price_minor=bought.price_minor,
        currency=CURRENCY,
        note=bought.note,
        frozen=frozen,
    )


@dataclass(slots=True)
class FilterInUse:
    """A filter taken from its pack: its uses so far, and the number at which it is retired."""

    filter: Filter
    uses: int
    good_for: int


def paper_use(stack: Sequence[FilterInUse]) -> int:
    """The use number of the most used paper in a stack; 1 without a paper."""
    return max((one.uses for one in stack if one.filter.pack.material == "paper"), default=1)


class Drawer:
    """Packs of filters, and the filters in use."""

    def __init__(self, packs: dict[str, FilterPack], first_day: date, rng: Random) -> None:
        self.packs, self.first_day, self.rng = packs, first_day, rng
        self.taken = dict.fromkeys(packs, 0)
        self.flat: dict[str, list[FilterInUse]] = {}
        self.metal = self._new("metal", 10_000, prior_uses=METAL_PRIOR_USES, rinse="hot")
        self.cloth: FilterInUse | None = None

    def stack(self, brewer: str, how: str, on: date) -> list[FilterInUse]:
        """The filters for one brew, with this use already counted."""
        if brewer == "pot":
            return []
        if brewer == "cone":
            chosen = [self._cloth()] if how == "cloth" else [self._new("cone", 1, rinse="hot")]
        else:
            chosen = [self.metal] if how == "metal" else self._papers(brewer, how, on)
        for one in chosen:
            one.uses += 1
            if one.uses >= one.good_for:
                one.filter.retired_on = on
        return chosen

    def single(self, on: date) -> FilterInUse:
        """A fresh paper that is thrown away after this brew, rinsed hot."""
        one = self._new("flat 2", 1, rinse="hot")
        one.uses, one.filter.retired_on = 1, on
        return one

    def _papers(self, brewer: str, how: str, on: date) -> list[FilterInUse]:
        """Each brewer has papers of its own, so that no damp one goes from one to another."""
        papers = self.flat.get(brewer, [])
        if how == "replaced":
            for one in papers:
                one.filter.retired_on, one.good_for = on, one.uses
        papers = self.flat[brewer] = [one for one in papers if one.uses < one.good_for]
        if how == "two fresh":
            papers += [self._paper(), self._paper()]
            return papers[-2:]
        if how == "fresh" or not papers:
            papers.append(self._paper())
            return papers[-1:]
        if how == "stack" and len(papers) < 2:
            papers.append(self._paper())
        return papers[:2] if how == "stack" else papers[:1]

    def _paper(self) -> FilterInUse:
        name = "flat 1" if self.taken["flat 1"] < self.packs["flat 1"].count else "flat 2"
        rinse = self.rng.choice(("none", "cold", "hot"))
        return self._new(name, self.rng.choice(MOST_USES), rinse=rinse)

    def _cloth(self) -> FilterInUse:
        if self.cloth is None:
            self.cloth = self._new("cloth", 10_000, rinse="hot", note="Boiled before first use.")
        return self.cloth

    def _new(self, pack: str, good_for: int, **values: Any) -> FilterInUse:
        self.taken[pack] += 1
        fresh = Filter(pack=self.packs[pack], number=self.taken[pack], **values)
        return FilterInUse(fresh, 0, good_for)
