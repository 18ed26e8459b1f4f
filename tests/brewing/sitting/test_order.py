"""The order of a sitting and its time, held against every order there is, on a clock of its own."""

from collections.abc import Sequence
from itertools import pairwise, permutations
from random import Random
from time import thread_time

import pytest

from app.brewing.sitting import times
from app.brewing.sitting.planning import plan_sitting
from app.brewing.sitting.rounds import Round, rounds_of
from app.brewing.sitting.wanted import CupWanted, Wanted
from tests.brewing.sitting.cups import cup, kitchen, questions


def bitter(one: CupWanted) -> float:
    """32, 38, 44 at 1.00, 1.25, 1.50 %; 35, 40, 40 at 16, 20, 24 % (Frost et al. 2020)."""
    strong = 0.0 if one.strength_pct is None else (one.strength_pct - 1.0) * 24 - 6
    weak = 0.0 if one.extraction_pct is None else min(0.0, one.extraction_pct - 20) * 5 / 4
    return round(38 + strong + weak, 2)


def cups_of(one: Round) -> list[CupWanted]:
    return [cup for batch in one.batches for brew in batch for cup in brew.cups]


def carried(order: Sequence[Round]) -> float:
    """How far rounds leave the palate above the next where that is noticed, all in all: 0.24 %
    of strength (Frost et al. 2019) at 24 points a per cent."""
    return round(sum(drop for drop in drops(order) if drop > 0.24 * 24), 2)


def drops(order: Sequence[Round]) -> list[float]:
    return [
        round(max(map(bitter, cups_of(one))) - min(map(bitter, cups_of(then))), 2)
        for one, then in pairwise(order)
    ]


def uneven(order: Sequence[Round]) -> float:
    return round(sum(max(0.0, drop) for drop in drops(order)), 2)


def on_the_clock(order: Sequence[Round]) -> int:
    """Every move of the hands, one after another."""
    now = dirty = ready = 0
    for place, one in enumerate(order):
        for batch in one.batches:
            now += dirty * times.WASH_UP_S
            now += (len(batch) - ready) * times.SET_UP_S
            now += longest_s([[cup.line for cup in brew.cups] for brew in batch])
            dirty, ready = len(batch), 0
        now += (2 if one.pair else one.cups_a_trial) * times.POUR_OUT_S
        hot = any(cup.ice_g == 0 for cup in cups_of(one))
        left = times.COOL_S if hot else 0
        now += left
        then = order[place + 1] if place + 1 < len(order) else None
        while dirty and left >= times.WASH_UP_S:
            dirty, left = dirty - 1, left - times.WASH_UP_S
        while then and not dirty and ready < len(then.batches[0]) and left >= times.SET_UP_S:
            ready, left = ready + 1, left - times.SET_UP_S
        now += times.TASTE_S if one.pair else 0
        each = one.cups_a_trial * (times.POUR_OUT_S + times.A_CUP_S) + times.ANSWER_S
        now += len(one.trials) * each
        now += times.REST_S * (one.pair + len(one.trials) - 1)
        if then:
            now += times.LONG_REST_S if carried([one, then]) else times.CLEAR_S
    return now + dirty * times.WASH_UP_S + (times.CLEAR_S if order else 0)


def longest_s(lines: Sequence[Sequence]) -> int:
    if len(lines) == 1:
        return max(line.ends_s for line in lines[0])
    return max(times.span_s(a, b) for a in lines[0] for b in lines[1])


def allowed(order: Sequence[Round]) -> bool:
    """The side by side of a question before its trials, these by number."""
    firsts: dict[int, list[int]] = {}
    for one in order:
        firsts.setdefault(one.question_id, []).append(0 if one.pair else one.trials[0])
    return all(numbers == sorted(numbers) for numbers in firsts.values())


def test_no_order_carries_less_and_none_of_those_is_shorter() -> None:
    carrying = longer = 0
    for seed in range(160):
        lots = Random(seed)
        asked, at_hand = questions(lots, most_rounds=6), kitchen(lots)
        rounds = rounds_of(asked, at_hand)
        tried = [
            (carried(order), on_the_clock(order), uneven(order))
            for order in permutations(rounds)
            if allowed(order)
        ]
        plan = plan_sitting(asked, at_hand)
        as_planned = as_rounds(plan, rounds)
        found = carried(as_planned), plan.lasts_s, uneven(as_planned)
        assert found == min(tried), f"seed {seed}"
        assert on_the_clock(as_planned) == plan.lasts_s
        carrying += max(tried)[0] > min(tried)[0]
        longer += len({time for _, time, _ in tried}) > 1
    # The order mattered in most of them, or else nothing was tried.
    assert carrying > 80
    assert longer > 80


def as_rounds(plan, rounds: Sequence[Round]) -> list[Round]:
    """The rounds in the order of the plan's lines, told by what is tasted first in each."""
    found, seen = [], set()
    for line in plan.lines:
        if line.kind not in ("taste", "trial"):
            continue
        for number, one in enumerate(rounds):
            mine = line.question_id == one.question_id
            is_it = one.pair if line.kind == "taste" else line.trial in one.trials
            if mine and is_it and number not in seen:
                seen.add(number)
                found.append(one)
    return found


def pair_of(number: int, a: CupWanted, b: CupWanted) -> Wanted:
    return Wanted(question_id=number, a=a, b=b, pair=True)


def test_the_fainter_cups_come_first_whatever_was_chosen_first() -> None:
    lots = Random(3)
    asked = [
        pair_of(number, *[cup(lots, strength_pct=pct, extraction_pct=20.0) for pct in both])
        for number, both in enumerate([(1.9, 1.8), (1.0, 1.1), (1.4, 1.5)], start=1)
    ]
    for order in permutations(asked):
        lines = plan_sitting(order, kitchen(lots)).lines
        assert [line.question_id for line in lines if line.kind == "taste"] == [2, 3, 1]


def test_no_order_can_help_where_each_pair_has_a_strong_and_a_faint_cup() -> None:
    lots = Random(4)
    cups = [cup(lots, strength_pct=pct, extraction_pct=20.0) for pct in (1.0, 2.0)]
    plan = plan_sitting([pair_of(1, *cups), pair_of(2, *cups)], kitchen(lots))
    assert any("longer rest" in note for note in plan.notes)
    rests = [line for line in plan.lines if line.kind == "rest"]
    assert rests[0].lasts_s == times.LONG_REST_S


def test_too_much_for_one_sitting_is_said() -> None:
    lots = Random(5)
    asked = [pair_of(number, cup(lots), cup(lots)) for number in range(1, 11)]
    with pytest.raises(ValueError, match="10 rounds"):
        plan_sitting(asked, kitchen(lots))


def test_nothing_wanted_is_an_empty_plan() -> None:
    plan = plan_sitting([], kitchen(Random(1)))
    assert (plan.lines, plan.lasts_s, plan.amounts.brews, plan.days) == ((), 0, 0, 1)


def test_the_most_rounds_are_ordered_while_one_looks() -> None:
    lots = Random(6)
    asked = [pair_of(number, cup(lots), cup(lots)) for number in range(1, 10)]
    began = thread_time()
    plan_sitting(asked, kitchen(lots))
    assert thread_time() - began < 1.0


def test_of_two_cups_side_by_side_the_fainter_is_named_where_that_is_noticed() -> None:
    lots = Random(7)
    said = []
    for a, b in ((1.0, 1.3), (1.3, 1.0), (1.0, 1.2), (1.2, None)):
        cups = [cup(lots, strength_pct=pct, extraction_pct=20.0) for pct in (a, b)]
        lines = plan_sitting([pair_of(1, *cups)], kitchen(lots)).lines
        said += [line.says for line in lines if line.kind == "taste"]
    assert said == ["A first: it is the fainter one.", "B first: it is the fainter one.", "", ""]
