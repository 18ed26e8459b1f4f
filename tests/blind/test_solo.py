"""A turned tray leaves guessing what it should be, whatever the hands know; exact, by counting."""

from __future__ import annotations

from fractions import Fraction
from types import SimpleNamespace
from typing import Any

import pytest

from app.journal.blind.keys import answers, is_right, marked, tasted_cup
from app.sensory.blind.methods import METHOD_FACTS
from app.sensory.blind.serving import orders

ON_A_TRAY = ["triangle", "three-cup", "duo-trio", "paired"]


def _lifted(method: str, cups: str, place: int, turn: int) -> Any:
    """The trial as it is read when this place was chosen after the tray was turned so far."""
    marks = sorted(marked(method, cups))
    at = place - answers(method)[0]
    mark = marks[(at + turn) % len(marks)]
    return SimpleNamespace(pouring="solo", cups=cups, answer=place, lifted=mark)


@pytest.mark.parametrize("method", ON_A_TRAY)
def test_every_place_is_right_as_often_as_guessing(method: str) -> None:
    """For each pouring, known to the hands, and each place one may always choose."""
    for order in orders(method, "B"):  # type: ignore[arg-type]
        cups = "".join(order)
        turns = len(marked(method, cups))
        for place in answers(method):
            right = [
                is_right(method, "B", _lifted(method, cups, place, turn)) for turn in range(turns)
            ]
            assert Fraction(sum(right), turns) == METHOD_FACTS[method].guess


def test_four_cups_in_a_ring_would_give_the_answer_away() -> None:
    """Why a tetrad is not poured solo: its pourer knows which neighbour to choose."""
    best = []
    for order in orders("tetrad"):
        chances = [
            Fraction(sum(order[turn] == order[(turn + step) % 4] for turn in range(4)), 4)
            for step in (1, 2, 3)
        ]
        best.append(max(chances))
    assert min(best) >= Fraction(1, 2)
    assert max(best) == 1


@pytest.mark.parametrize("said", [1, 2])
def test_the_cup_taken_from_a_tray_is_a_or_not_as_often_whatever_is_said(said: int) -> None:
    """A – not A alone: for each pouring, and each turn, the cup on the left is what counts."""
    for order in orders("A-not-A", tray=True):
        cups = "".join(order)
        trials = [
            SimpleNamespace(pouring="solo", cups=cups, answer=said, lifted=mark) for mark in "12"
        ]
        assert {tasted_cup("solo", cups, trial.lifted) for trial in trials} == {"A", "B"}
        assert [is_right("A-not-A", None, trial) for trial in trials].count(True) == 1
        lost = SimpleNamespace(pouring="solo", cups=cups, answer=said, lifted="0")
        assert not is_right("A-not-A", None, lost)
