"""Penalties: how much less the cups on one side of just right are liked, a day counting once.

The penalty of a side is the mean liking at just right less that on the side, and its share is that
of the cups on the side; share times penalty says what the side takes off the mean of all cups
(penalty or mean drop analysis: ASTM MNL63, Just-About-Right Scales, 2009; from memory). A side is
read from 20 % of the cups and 4 cups on, common practice. Ranges are those of `apart.py`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from app.sensory.scores.apart import ALPHA, Apart, Days, Scored, apart, by_day, enough
from app.sensory.scores.scales import JUST_RIGHT

LEAST_SHARE = 0.20
LEAST_CUPS = 4
LEAST_RIGHT = 2

Side = Literal["too little", "too much"]


class Answer(NamedTuple):
    """One attribute of one cup: its day (a number that counts days), liking (1 to 9), and the
    just-right answer (1 to 5)."""

    day: int
    liking: float
    step: int


@dataclass(frozen=True, slots=True)
class Penalty:
    """Cups on one side of just right against those just right (A of `found`).

    `cups` of `answers` are on the side, `right` at just right. Such cups may differ in more than
    this attribute, so a penalty need not be its effect.
    """

    attribute: str
    side: Side
    cups: int
    answers: int
    right: int
    found: Apart

    @property
    def share(self) -> float:
        return self.cups / self.answers

    @property
    def drop(self) -> float:
        """Points of liking."""
        return self.found.difference

    @property
    def takes(self) -> float:
        """Points off the mean of all cups."""
        return self.share * self.drop

    @property
    def costs(self) -> bool:
        """Whether the side is liked less by more than chance usually gives."""
        return self.found.higher == "A"


class _Read(NamedTuple):
    attribute: str
    side: Side
    cups: int
    answers: int
    right: int
    days: Days


def penalties(answers: Mapping[str, Sequence[Answer]], alpha: float = ALPHA) -> tuple[Penalty, ...]:
    """Every side with enough cups, by attribute; what takes most off the mean comes first.

    All ranges together leave out `alpha`: those that are long enough for one share it.
    """
    read = [
        one for name, cups in answers.items() for side in _SIDES if (one := _side(name, side, cups))
    ]
    each = alpha / max(1, sum(enough(one.days) for one in read))
    found = [Penalty(*one[:5], of) for one in read if (of := apart(one.days, each))]
    return tuple(sorted(found, key=lambda one: (not one.costs, -one.takes)))


_SIDES: tuple[Side, Side] = ("too little", "too much")


def is_off(step: int, side: Side) -> bool:
    return step < JUST_RIGHT if side == "too little" else step > JUST_RIGHT


def _side(attribute: str, side: Side, answers: Sequence[Answer]) -> _Read | None:
    right = sum(one.step == JUST_RIGHT for one in answers)
    held = [one for one in answers if one.step == JUST_RIGHT or is_off(one.step, side)]
    cups = len(held) - right
    if right < LEAST_RIGHT or cups < LEAST_CUPS or cups < LEAST_SHARE * len(answers):
        return None
    days = by_day([Scored(one.day, one.step == JUST_RIGHT, one.liking) for one in held])
    return _Read(attribute, side, cups, len(answers), right, days)
