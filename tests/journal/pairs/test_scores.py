"""Scores of two cups per taster, beside the taster's own repeats."""

from __future__ import annotations

from datetime import date, timedelta
from types import SimpleNamespace
from typing import Any

import pytest

from app.journal.pairs.scores import TasterScores, repeat_groups, scores
from tests.journal.pairs.plain import PLAIN

FIRST = date(2026, 3, 1)


def tasting(taster: str, liking: int | None, *, blind: bool = False, brew_id: int = 1) -> Any:
    number = {"Ada": 1, "Bo": 2}[taster]
    return SimpleNamespace(
        taster_id=number, taster_name=taster, liking=liking, blind=blind, brew_id=brew_id
    )


def compared(
    of_a: Any, of_b: Any, repeats: Any, likings: Any, days: Any = None
) -> list[TasterScores]:
    """Scores of cups A (brew 1) and B; each brew has a day of its own unless `days` say else."""
    for one in of_b:
        one.brew_id = 2
    own = {brew_id: FIRST + timedelta(brew_id) for brew_id in (1, 2, *likings)}
    return scores(of_a, of_b, repeats, likings, own | (days or {}))


def test_each_taster_is_compared_with_their_own_repeats() -> None:
    likings = {10: {1: 6.0, 2: 5.0}, 11: {1: 8.0, 2: 5.5}, 12: {1: 7.0}}
    ada, bo = compared(
        [tasting("Ada", 5), tasting("Bo", 5)],
        [tasting("Ada", 8), tasting("Bo", 7)],
        [[10, 11, 12]],
        likings,
    )
    assert (ada.a, ada.b) == (5, 8)
    assert ada.comparison is not None
    assert bo.comparison is not None
    # Ada's repeats 6, 8, 7: SD 1, so a difference of two cups has SD √2; t with 2 degrees is 4.303.
    assert ada.comparison.range_95 == pytest.approx(4.303 * 2**0.5 + 0.5, abs=0.001)
    assert ada.comparison.size == "like repeats"
    assert "3 repeats of one recipe" in ada.comparison.sentence
    # Bo's repeats 5, 5.5: SD .354, one degree of freedom.
    assert bo.comparison.range_95 == pytest.approx(12.706 * 0.5 + 0.5, abs=0.001)


def test_p4b_cups_of_two_days_are_not_compared_with_repeats_of_one_morning() -> None:
    likings = {10: {1: 6.0}, 11: {1: 7.0}, 12: {1: 6.0}}
    one_morning = dict.fromkeys((10, 11, 12), FIRST)
    a, b = [tasting("Ada", 5)], [tasting("Ada", 8)]
    (ada,) = compared(a, b, [[10, 11, 12]], likings, one_morning)
    assert ada.comparison is not None
    assert ada.comparison.size == "no repeats"
    assert "your repeats share a day" in ada.comparison.sentence
    (ada,) = compared(a, b, [[10, 11, 12]], likings, one_morning | {1: FIRST, 2: FIRST})
    assert ada.comparison is not None
    assert "3 repeats of one recipe, made on one day" in ada.comparison.sentence


def test_without_repeats_it_says_so() -> None:
    (ada,) = compared([tasting("Ada", 5)], [tasting("Ada", 8)], [], {})
    assert ada.comparison is not None
    assert "No repeats yet" in ada.comparison.sentence
    (other,) = compared(
        [tasting("Ada", 5)], [tasting("Ada", 8)], [[10, 11]], {10: {2: 5.0}, 11: {}}
    )
    assert other.comparison is not None
    assert "No repeats yet" in other.comparison.sentence


def test_who_scored_one_cup_only_is_listed_last_and_not_compared() -> None:
    found = compared([tasting("Ada", 5), tasting("Bo", 4)], [tasting("Bo", 6)], [], {})
    assert [(one.taster_name, one.a, one.b) for one in found] == [("Bo", 4, 6), ("Ada", 5, None)]
    assert found[1].comparison is None


def test_a_taster_who_tasted_a_cup_twice_counts_with_the_mean() -> None:
    (ada,) = compared([tasting("Ada", 5), tasting("Ada", 6)], [tasting("Ada", 8)], [], {})
    assert ada.a == 5.5


def test_a_tasting_without_a_score_is_no_score() -> None:
    assert compared([tasting("Ada", None)], [tasting("Ada", None)], [], {}) == []


def test_it_is_told_whether_both_were_tasted_blind() -> None:
    (blind,) = compared([tasting("Ada", 5, blind=True)], [tasting("Ada", 6, blind=True)], [], {})
    (mixed,) = compared([tasting("Ada", 5, blind=True)], [tasting("Ada", 6)], [], {})
    assert not blind.sighted
    assert mixed.sighted


def test_repeats_are_grouped_by_what_agrees_and_lone_brews_are_left_out() -> None:
    finer = PLAIN._replace(grind="fine")
    found = repeat_groups(
        {
            1: PLAIN,
            2: finer,
            3: PLAIN._replace(dose_g=11.2),
            4: finer._replace(steep_s=123),
            5: PLAIN._replace(steep_s=200),
            6: PLAIN._replace(age_days=15),
            7: PLAIN._replace(age_days=16),
        }
    )
    assert sorted(found) == [[1, 3, 6], [2, 4]]


def test_another_bag_is_no_repeat() -> None:
    assert repeat_groups({1: PLAIN, 2: PLAIN._replace(bag_id=2)}) == []
