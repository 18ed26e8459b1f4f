"""What a plan asks for against the brews it makes: every outcome of every lot, dose by dose."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product
from random import Random

import pytest

from app.brewing.ranged import Ranged
from app.brewing.sitting.palate import days_for
from app.brewing.sitting.plan import Line, SittingPlan
from app.brewing.sitting.planning import plan_sitting
from app.brewing.sitting.times import COOL_S, MOUTH_G, TASTED_G
from app.brewing.sitting.wanted import AtHand, CupWanted, FilterWanted, TrialsWanted, Wanted
from tests.brewing.sitting.cups import cup, kitchen, questions

EVERY = tuple(range(60))


def outcomes(plan: SittingPlan) -> Iterator[tuple[CupWanted, ...]]:
    """The cups that are brewed, for each way the lots may fall."""
    brews = [brew for line in plan.lines for brew in line.brews]
    return product(*(brew.cups for brew in brews))


@pytest.mark.parametrize("seed", EVERY)
def test_grams_of_each_bag_and_water_are_those_of_the_brews(seed: int) -> None:
    lots = Random(seed)
    asked, at_hand = questions(lots, most_rounds=4), kitchen(lots)
    plan = plan_sitting(asked, at_hand)
    grams: dict[int, list[float]] = {}
    water, ice = [], []
    for brewed in outcomes(plan):
        for bag_id in {one.bag_id for one in brewed} | {bag.bag_id for bag in plan.amounts.bags}:
            doses = [one.dose_g for one in brewed if one.bag_id == bag_id]
            grams.setdefault(bag_id, []).append(sum(doses))
        water.append(sum(one.water_g + one.bypass_g + one.rinse_g for one in brewed))
        ice.append(sum(one.ice_g for one in brewed))
        assert len(brewed) == plan.amounts.brews
    told = {bag.bag_id: (bag.least_g, bag.most_g) for bag in plan.amounts.bags}
    assert set(told) == set(grams)
    for bag_id, sums in grams.items():
        assert told[bag_id] == pytest.approx((min(sums), max(sums)))
    assert plan.amounts.kettle_g == pytest.approx(max(water))
    assert plan.amounts.ice_g == pytest.approx(max(ice))
    # Just enough fillings of the kettle, and not one more.
    full = at_hand.kettle_g
    assert (plan.amounts.kettle_fulls - 1) * full < max(water) <= plan.amounts.kettle_fulls * full


@pytest.mark.parametrize("seed", EVERY)
def test_there_are_filters_for_whatever_a_lot_decides(seed: int) -> None:
    lots = Random(seed)
    plan = plan_sitting(questions(lots, most_rounds=4), kitchen(lots))
    told = {one.wanted: one.count for one in plan.amounts.filters}
    most: Counter[FilterWanted] = Counter()
    for brewed in outcomes(plan):
        most |= Counter(filter_ for one in brewed for filter_ in one.filters)
    assert told == dict(most)


@pytest.mark.parametrize("seed", EVERY)
def test_at_a_time_no_more_filters_are_called_for_than_one_brewing_takes(seed: int) -> None:
    lots = Random(seed)
    plan = plan_sitting(questions(lots, most_rounds=4), kitchen(lots))
    most: Counter[FilterWanted] = Counter()
    for line in plan.lines:
        for cups in product(*(brew.cups for brew in line.brews)):
            most |= Counter(filter_ for one in cups for filter_ in one.filters)
    assert {one.wanted: one.at_a_time for one in plan.amounts.filters} == dict(most)


@pytest.mark.parametrize("seed", EVERY)
def test_every_brew_that_was_asked_for_is_made_once(seed: int) -> None:
    lots = Random(seed)
    asked = questions(lots, most_rounds=6)
    plan = plan_sitting(asked, kitchen(lots))
    for one in asked:
        made = [
            brew.letter
            for line in plan.lines
            if line.question_id == one.question_id
            for brew in line.brews
        ]
        trials = one.trials
        shared = one.pair or bool(trials and trials.from_one_pair)
        expected: Counter[str | None] = Counter({"A": 1, "B": 1} if shared else {})
        if trials:
            expected["A"] += trials.brews_a * trials.count
            expected["B"] += trials.brews_b * trials.count
            expected[None] += trials.brews_by_lot * trials.count
        assert Counter(made) == +expected
    kinds = Counter(line.kind for line in plan.lines)
    assert kinds["taste"] == plan.pairs == sum(one.pair for one in asked)
    assert kinds["trial"] == plan.trials
    assert plan.amounts.mouth_g == MOUTH_G * (plan.pairs + plan.trials)
    assert plan.amounts.codes == sum(
        one.trials.cups * one.trials.count for one in asked if one.trials
    )


@pytest.mark.parametrize("seed", EVERY)
def test_no_two_brews_at_one_time_without_a_brewer_for_each(seed: int) -> None:
    lots = Random(seed)
    at_hand = kitchen(lots)
    plan = plan_sitting(questions(lots, most_rounds=6), at_hand)
    for line in plan.lines:
        assert len(line.brews) <= 2
        for cups in product(*(brew.cups for brew in line.brews)):
            used = Counter(one.first_brewer_id for one in cups)
            assert all(n <= max(1, at_hand.brewers.get(one, 1)) for one, n in used.items())


def test_each_tasting_points_at_the_first_brew_line_of_its_cups() -> None:
    for seed in EVERY:
        lots = Random(seed)
        plan = plan_sitting(questions(lots, most_rounds=6), kitchen(lots))
        for place, line in enumerate(plan.lines):
            if line.kind in ("taste", "trial"):
                first = line.of
                assert first is not None
                assert first < place
                assert plan.lines[first].kind == "brew"
                assert plan.lines[first].question_id == line.question_id
                assert first == 0 or plan.lines[first - 1].kind == "rest"


def two(lots: Random, brewers: int, **given: object) -> SittingPlan:
    a, b = (cup(lots, first_brewer_id=1, ice_g=0.0, **given) for _ in "ab")
    asked = [Wanted(question_id=1, a=a, b=b, pair=True)]
    return plan_sitting(asked, AtHand(brewers={1: brewers}, kettle_g=1000.0))


def test_two_alike_brewers_go_along_and_one_goes_twice() -> None:
    along, in_turn = two(Random(8), brewers=2), two(Random(8), brewers=1)
    assert [len(line.brews) for line in along.lines if line.kind == "brew"] == [2]
    assert [len(line.brews) for line in in_turn.lines if line.kind == "brew"] == [1, 1]
    assert along.lasts_s < in_turn.lasts_s
    assert along.amounts.brewers == 2
    assert in_turn.amounts.brewers == 1
    assert any("One brewer for both" in note for note in in_turn.notes)


def test_what_is_iced_is_tasted_at_once() -> None:
    lots = Random(9)
    hot = cup(lots, ice_g=0.0)
    asked = [Wanted(question_id=1, a=hot, b=hot, pair=True)]
    iced = [replace(asked[0], a=replace(hot, ice_g=80.0), b=replace(hot, ice_g=80.0))]
    cool = [
        next(line for line in plan_sitting(of, kitchen(lots)).lines if line.kind == "cool")
        for of in (asked, iced)
    ]
    assert cool[0].lasts_s - cool[1].lasts_s == COOL_S


def trial(count: int, lots: Random, *, pair: bool = True, grams: float = 210.0) -> SittingPlan:
    mg = Ranged(120.0, 100.0, 140.0)
    one = cup(lots, beverage_g=grams, caffeine_mg=mg, first_brewer_id=1)
    triangle = TrialsWanted(count=count, served_a=1, served_b=1, served_by_lot=1)
    asked = Wanted(question_id=1, a=one, b=one, pair=pair, trials=triangle)
    return plan_sitting([asked], AtHand(brewers={1: 2}, kettle_g=1000.0))


def test_one_or_two_trials_are_a_sitting_and_more_are_spread_over_days() -> None:
    assert [days_for(count) for count in (0, 1, 2, 3, 4, 5)] == [1, 1, 1, 2, 2, 3]
    assert not any("palate" in note for note in trial(2, Random(1)).notes)
    said = next(note for note in trial(5, Random(1)).notes if "palate" in note)
    assert "from memory" in said
    assert "over 3 days" in said


def test_trials_poured_from_one_pair_come_after_its_side_by_side_without_another_brew() -> None:
    lines: Sequence[Line] = trial(2, Random(1)).lines
    done = [line.kind for line in lines]
    assert done == ["brew", "cool", "taste", "rest", "trial", "rest", "trial", "rest"]


def test_cups_too_small_for_their_tastings_are_named() -> None:
    assert not any("does not fill" in note for note in trial(2, Random(1)).notes)
    # Side by side 40 g, and twice 2 x 40 g of one kind at most.
    assert any("(200 g)" in note for note in trial(2, Random(1), grams=199.0).notes)
    assert not any("(200 g)" in note for note in trial(2, Random(1), grams=200.0).notes)


def test_caffeine_counts_what_is_served_and_what_is_brewed() -> None:
    plan = trial(2, Random(1))
    portion = TASTED_G / 210.0
    served = 2 + 2 * 3
    assert plan.caffeine.tasted_mg == pytest.approx(
        [served * portion * mg for mg in (120.0, 100.0, 140.0)]
    )
    assert plan.caffeine.brewed_mg == pytest.approx([240.0, 200.0, 280.0])
    text = " ".join(plan.caffeine.cautions)
    # EFSA 2015: 200 mg at a time, 400 mg a day, 200 mg a day in pregnancy and lactation.
    assert "all that is brewed may be above the 200 mg at a time" in text
    assert "Spit out what you taste, or share it" in text
    assert "not medical advice" in text


def test_no_outcome_of_a_lot_lies_outside_the_range_of_caffeine() -> None:
    for seed in EVERY:
        lots = Random(seed)
        plan = plan_sitting(questions(lots, most_rounds=4), kitchen(lots))
        for brewed in outcomes(plan):
            low = sum(one.caffeine_mg.low for one in brewed)
            high = sum(one.caffeine_mg.high for one in brewed)
            assert plan.caffeine.brewed_mg.low <= low + 1e-9
            assert high - 1e-9 <= plan.caffeine.brewed_mg.high
