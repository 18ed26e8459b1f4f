"""Writing the demo year into a journal."""

from __future__ import annotations

from datetime import date, timedelta
from random import Random
from uuid import UUID

from sqlalchemy.orm import Session

from app.models import Bean, Brew, BrewPhoto, FilterUse, FrozenSpan, Tasting
from seed_demo import picture
from seed_demo.bench import bench_of
from seed_demo.calendar import DAYS, plans
from seed_demo.cupboard import Drawer, Shelf, new_bag
from seed_demo.experiments import add_runs, planned_at
from seed_demo.household import DECAF_BAGS, IN_THE_FREEZER, MAIN_BAGS
from seed_demo.kitchen import Brewed, Kitchen
from seed_demo.questions import add_questions
from seed_demo.sittings import add_sittings
from seed_demo.stock import add_stock
from seed_demo.table import saved_pairs, tasted

SEED = 11


def build(session: Session, end_on: date, seed: int = SEED) -> None:
    """Fill an empty journal with the household's year up to and including `end_on`.

    The same seed and day always give the same rows. The caller commits.
    """
    rng = Random(f"{seed} {end_on.isoformat()}")
    first_day = end_on - timedelta(days=DAYS - 1)
    stock = add_stock(session, first_day)
    main = Shelf(MAIN_BAGS, stock.beans, first_day)
    decaf = Shelf(DECAF_BAGS, stock.beans, first_day)
    kitchen = Kitchen(stock, main, decaf, Drawer(stock.packs, first_day, rng), rng)
    brewed: list[Brewed] = []
    tastings: list[Tasting] = []
    for plan in plans(end_on, rng):
        brewed.append(kitchen.brew(plan))
        tastings += tasted(brewed[-1], stock.tasters, rng)
    session.add_all(one.brew for one in brewed)
    session.add_all(_second_entry(one.brew, rng) for one in brewed if one.twice)
    session.flush()
    session.add_all(tastings)
    session.add_all(saved_pairs(brewed, tastings))
    session.add(_in_the_freezer(stock.beans, end_on))
    guests = [one.brew for one in brewed if one.plan.occasion == "guests"]
    session.add(BrewPhoto(brew_id=guests[-1].id, jpeg=picture.two_mugs(), alt=picture.ALT))
    session.flush()
    questions = add_questions(session, stock, brewed, end_on, seed)
    bench = bench_of(session, stock, kitchen.drawer, brewed, planned_at(end_on))
    add_runs(bench, end_on)
    add_sittings(bench, questions, end_on)


def _second_entry(brew: Brew, rng: Random) -> Brew:
    """The same brew, saved a second time and then put in the bin."""
    left_out = {"id", "entry_key", "brewed_at", "note", "note_search"}
    names = [column.key for column in Brew.__table__.columns if column.key not in left_out]
    again = Brew(**{name: getattr(brew, name) for name in names})
    again.entry_key = str(UUID(int=rng.getrandbits(128), version=4))
    again.brewed_at = brew.brewed_at + timedelta(minutes=1)
    again.binned_at = brew.brewed_at + timedelta(minutes=6)
    again.bag, again.brewer, again.grinder = brew.bag, brew.brewer, brew.grinder
    again.water, again.revision = brew.water, brew.revision
    again.stack = [
        FilterUse(position=use.position, filter=use.filter, brewed_at=again.brewed_at)
        for use in brew.stack
    ]
    return again


def _in_the_freezer(beans: dict[str, Bean], end_on: date) -> object:
    roasted_on = end_on - timedelta(days=21)
    frozen = [FrozenSpan(from_on=roasted_on + timedelta(days=IN_THE_FREEZER.rest_days or 0))]
    return new_bag(IN_THE_FREEZER, beans, roasted_on, frozen)
