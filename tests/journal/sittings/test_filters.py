"""The nearest filters at a wanted use, held against every way of taking them."""

from collections.abc import Iterator, Sequence
from itertools import permutations
from random import Random

from app.brewing.sitting.plan import FilterAmount
from app.brewing.sitting.wanted import FilterWanted
from app.journal.on_hand import OnHand
from app.journal.sittings.filters import FRESH, Nearest, nearest

PACK = 7
NOTHING_ELSE = 10_000  # what a brew without a filter costs here: as many as can be get one


def in_use(number: int, uses: int, pack_id: int = PACK) -> OnHand:
    return OnHand(number, pack_id, "Plain papers", number, "paper", uses, None)


def wanted(use: int | None, count: int = 1, pack_id: int = PACK) -> FilterAmount:
    return FilterAmount(FilterWanted(pack_id, use), count, count)


def ways(uses: Sequence[int], hand: Sequence[int], left: int) -> Iterator[int]:
    """Brews still needed, for each way of giving every wanted use a filter of its own, or none."""
    stock = [*hand, *[0] * min(left, len(uses)), *[None] * len(uses)]
    for taken in set(permutations(stock, len(uses))):
        if all(had is None or had < use for use, had in zip(uses, taken, strict=True)):
            yield sum(
                NOTHING_ELSE if had is None else use - 1 - had
                for use, had in zip(uses, taken, strict=True)
            )


def cost(found: Sequence[Nearest]) -> int:
    return sum(NOTHING_ELSE if one.brews is None else one.brews for one in found)


def test_no_way_of_taking_filters_needs_fewer_brews() -> None:
    for seed in range(400):
        lots = Random(seed)
        uses = [lots.randint(1, 9) for _ in range(lots.randint(1, 3))]
        hand = [lots.randint(0, 9) for _ in range(lots.randint(0, 3))]
        left = lots.randint(0, 2)
        amounts = [wanted(use, uses.count(use)) for use in sorted(set(uses))]
        rows = [in_use(number, used) for number, used in enumerate(hand, 1)]
        found = [one for few in nearest(amounts, rows, {PACK: left}).values() for one in few]
        assert cost(found) == min(ways(uses, hand, left)), f"seed {seed}"
        names = [one.name for one in found if one.name and not one.is_fresh]
        assert len(set(names)) == len(names)


def test_the_paper_that_is_nearest_is_named_with_what_it_still_needs() -> None:
    hand = [in_use(1, 3), in_use(2, 6), in_use(3, 8)]
    found = nearest([wanted(8)], hand, {PACK: 40})
    assert found[FilterWanted(PACK, 8)] == [Nearest("Plain papers no. 2", 1)]


def test_a_paper_that_is_past_it_gives_way_to_a_fresh_one_and_all_its_brews() -> None:
    found = nearest([wanted(4)], [in_use(1, 9)], {PACK: 1})
    assert found[FilterWanted(PACK, 4)] == [Nearest(FRESH, 3, is_fresh=True)]


def test_where_the_pack_is_empty_none_can_get_there() -> None:
    found = nearest([wanted(4)], [in_use(1, 9)], {})
    assert found[FilterWanted(PACK, 4)] == [Nearest("", None)]


def test_papers_of_another_pack_do_not_count() -> None:
    found = nearest([wanted(4)], [in_use(1, 3, pack_id=PACK + 1)], {PACK + 1: 9})
    assert found[FilterWanted(PACK, 4)] == [Nearest("", None)]


def test_whoever_takes_any_filter_leaves_the_one_that_another_needs() -> None:
    found = nearest([wanted(None), wanted(8)], [in_use(1, 7), in_use(2, 2)], {})
    assert found[FilterWanted(PACK, 8)] == [Nearest("Plain papers no. 1", 0)]
    assert found[FilterWanted(PACK, None)] == [Nearest("Plain papers no. 2", 0)]
