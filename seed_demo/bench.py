"""Cups that a plan of the journal sets field by field: runs of an experiment, cups of a sitting."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from random import Random
from uuid import UUID
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from app.models import Brew, Brewer, Tasting, Water
from app.models.brews import BrewValues
from app.text import search_text
from seed_demo import truth
from seed_demo.calendar import PlannedBrew
from seed_demo.cupboard import Drawer, FilterInUse, OpenBag, new_bag, paper_use
from seed_demo.household import MERITS, TO_TRY, ZONE
from seed_demo.kitchen import Brewed, poured, stack_of
from seed_demo.setup import BrewSetup
from seed_demo.stock import Stock
from seed_demo.table import tasted

# As these beans are ground and pressed, whatever the cup that they are like says of its own.
MARK, EFFORT = 24, 2


@dataclass(frozen=True, slots=True)
class Bench:
    """What is brewed from, and `like`: an everyday cup that all here is like, but for its beans.

    Drawn by a generator that knows no day, so that every demo finds the same.
    """

    session: Session
    stock: Stock
    drawer: Drawer
    opened: OpenBag
    like: Brew
    rng: Random

    def brew(
        self, values: BrewValues, at: datetime, filters: list[FilterInUse], who: Sequence[str]
    ) -> tuple[Brewed, list[Tasting]]:
        """A brew saved with its id, and its tastings, which are not saved yet."""
        wall = at.astimezone(ZoneInfo(ZONE)).replace(tzinfo=None)
        brew = Brew(
            entry_key=self.key(),
            brewed_at=at,
            zone=ZONE,
            brewed_on=wall.date(),
            note_search=search_text(values.note),
            stack=stack_of(at, filters),
            **asdict(values),
        )
        setup = BrewSetup(
            _name_of(self.stock.brewers, values.brewer_id), "hand",
            _name_of(self.stock.waters, values.water_id), MARK, asdict(values),
        )  # fmt: skip
        made = truth.brew(poured(setup, EFFORT, paper_use(filters)), self.rng)
        self.opened.left_g -= values.dose_g
        self.session.add(brew)
        self.session.flush()
        plan = PlannedBrew(0, wall, "morning", tuple(who))
        one = Brewed(plan, brew, made, self.opened, filters, setup.water == "tap", twice=False)
        return one, tasted(one, self.stock.tasters, self.rng)

    def key(self) -> str:
        return str(UUID(int=self.rng.getrandbits(128), version=4))


def bench_of(
    session: Session, stock: Stock, drawer: Drawer, brewed: Sequence[Brewed], opened_at: datetime
) -> Bench:
    """A bag of its own, opened at that moment, and the last everyday cup before."""
    opened_on = opened_at.astimezone(ZoneInfo(ZONE)).date()
    bag = new_bag(TO_TRY, stock.beans, TO_TRY.roasted_before(opened_on), [])
    bag.opened_on = opened_on
    session.add(bag)
    session.flush()
    everyday = [
        one.brew
        for one in brewed
        if one.plan.recipe == "morning"
        and one.plan.occasion == "dull"
        and one.brew.brewed_at < opened_at
    ]
    opened = OpenBag(bag, MERITS[TO_TRY.bean], TO_TRY.net_g, 0)
    return Bench(session, stock, drawer, opened, everyday[-1], Random("what was tried on purpose"))


def _name_of(rows: Mapping[str, Brewer] | Mapping[str, Water], row_id: int | None) -> str:
    """The short name of the row with this number."""
    return next(name for name, row in rows.items() if row.id == row_id)
