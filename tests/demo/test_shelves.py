"""The demo's shelves: bags, gear and filters of every sort, used as their dates allow."""

from __future__ import annotations

from collections import Counter

from sqlalchemy import func, select

from app.brewing.bounds import BREWER_KINDS, GRINDS
from app.journal.on_hand import on_hand
from app.journal.uses import uses_of_brews
from app.models import (
    Bag,
    BagCorrection,
    Bean,
    Brew,
    Brewer,
    Filter,
    FilterPack,
    FilterUse,
    FrozenSpan,
)
from tests.demo.conftest import TODAY, count


def all_uses(demo):
    ids = list(demo.scalars(select(Brew.id).where(Brew.binned_at.is_(None))))
    return [use for n in range(0, len(ids), 50) for use in stack_rows(demo, ids[n : n + 50])]


def stack_rows(demo, ids):
    return [use for stack in uses_of_brews(demo, ids).values() for use in stack]


def test_bags_of_every_sort(demo):
    bags = select(func.count()).select_from(Bag).join(Bean)
    assert demo.scalar(bags) >= 12
    assert demo.scalar(bags.where(Bean.decaf)) >= 2
    assert demo.scalar(bags.where(Bean.robusta_pct > 0)) >= 1
    assert demo.scalar(bags.where(Bag.roasted_on.is_(None))) >= 1
    assert demo.scalar(bags.where(Bag.finished_on.is_(None), Bag.opened_on.is_not(None))) >= 2
    spans = list(demo.execute(select(FrozenSpan.from_on, FrozenSpan.to_on)))
    assert len(spans) >= 3
    assert any(span.to_on is None for span in spans)


def test_no_bag_gives_more_than_it_holds_and_a_corrected_one_is_empty(demo):
    brewed = select(func.sum(Brew.dose_g)).where(Brew.bag_id == Bag.id, Brew.binned_at.is_(None))
    noted = select(func.sum(BagCorrection.grams)).where(BagCorrection.bag_id == Bag.id)
    rows = demo.execute(
        select(Bag.net_g, brewed.scalar_subquery(), noted.scalar_subquery(), Bag.finished_on)
    ).all()
    left = [(net - (used or 0) + (gone or 0), gone, done) for net, used, gone, done in rows]
    assert min(grams for grams, *_ in left) > -1e-6
    assert any(abs(grams) < 1e-6 and gone and done for grams, gone, done in left)
    assert demo.scalar(select(func.count()).where(BagCorrection.why.contains("spilled"))) == 1


def test_bags_are_used_between_opening_and_finishing(demo):
    rows = demo.execute(
        select(Brew.brewed_on, Bag.opened_on, Bag.finished_on, Bag.roasted_on).join(Bag)
    )
    for brewed_on, opened_on, finished_on, roasted_on in rows:
        assert opened_on <= brewed_on <= (finished_on or TODAY)
        assert roasted_on is None or roasted_on < brewed_on


def test_no_brew_from_the_freezer(demo):
    """A bag in the freezer was opened later, or rested there while the household was away."""
    inside = (
        select(func.count())
        .select_from(Brew)
        .join(FrozenSpan, FrozenSpan.bag_id == Brew.bag_id)
        .where(Brew.brewed_on > FrozenSpan.from_on, Brew.brewed_on < FrozenSpan.to_on)
    )
    assert demo.scalar(inside) == 0


def test_brewers_grinders_waters_and_both_ways_up(demo):
    kinds = dict(
        demo.execute(select(Brewer.kind, func.count()).join(Brew).group_by(Brewer.kind)).all()
    )
    assert set(kinds) == {"pressed immersion", "immersion", "cone"} < set(BREWER_KINDS)
    assert kinds["pressed immersion"] > 0.6 * count(demo)
    assert min(kinds.values()) >= 15
    assert count(demo, Brew.flipped) >= 100
    assert count(demo, ~Brew.flipped, Brew.press_s.is_not(None)) >= 100
    assert demo.scalar(select(func.count(Brew.grinder_id.distinct()))) == 2
    assert demo.scalar(select(func.count(Brew.water_id.distinct()))) == 2
    assert set(demo.scalars(select(Brew.grind))) <= set(GRINDS)


def test_papers_are_reused_one_to_six_times(demo):
    uses = [use for use in all_uses(demo) if use.material == "paper"]
    most = {use.filter_id: 0 for use in uses}
    for use in uses:
        most[use.filter_id] = max(most[use.filter_id], use.number)
    assert set(most.values()) == {1, 2, 3, 4, 5, 6}
    assert sum(use.number == 1 for use in uses) >= 100
    assert any(use.gap_days is not None and use.gap_days > 1 for use in uses)


def test_stacks_of_two_a_metal_filter_and_a_cloth(demo):
    assert demo.scalar(select(func.count()).where(FilterUse.position == 2)) >= 5
    uses = all_uses(demo)
    by_material = Counter(use.material for use in uses)
    assert by_material["metal"] >= 5
    assert by_material["cloth"] >= 2
    assert min(use.number for use in uses if use.material == "metal") > 1, "used before the journal"


def test_a_filter_is_not_used_after_it_was_retired(demo):
    late = (
        select(func.count())
        .select_from(FilterUse)
        .join(Filter)
        .join(Brew, Brew.id == FilterUse.brew_id)
        .where(Brew.brewed_on > Filter.retired_on)
    )
    assert demo.scalar(late) == 0
    assert on_hand(demo)[0].state == "in use"


def test_packs_hold_the_filters_taken_from_them(demo):
    rows = demo.execute(
        select(FilterPack.count, func.count(Filter.id), func.max(Filter.number))
        .join(Filter)
        .group_by(FilterPack.id)
    ).all()
    assert len(rows) == 5
    for held, taken, highest in rows:
        assert taken == highest <= held
