"""A blind test as a question sees it: how it stands, and what it may add to the family."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

from app.sensory import ROUNDING
from app.sensory.blind.record import Panel
from app.sensory.gathered.errors import CLOSE, DEALT
from app.sensory.gathered.family import Share
from app.sensory.gathered.sighted import HINT_AT
from app.sensory.terms import Claim, Letter, State

Lean = Literal["shown", "close enough"]
Gone = Literal["", "in the bin", "taken away"]


@dataclass(frozen=True)
class Blind:
    """A blind test as it stands, with the e-values of its answers so far.

    `evidence` is against guessing (for a preference against a coin), `evidence_close` against the
    smallest difference that would matter; None where the test is not judged by such a yardstick.
    `error` is how often its rule shows a difference by guessing alone, `fixed` whether it is read
    at a number of trials fixed beforehand. `way` is the cup shown to
    have more of the `attribute`, or to be preferred; `cups` say what A and B are. `gone` tests
    still count. `left_out` is how many other tests of the journal it could have been chosen from,
    where it was put under the question after its first answer: 0 where nothing was left out.
    """

    claim: Claim
    state: State
    trials: int
    evidence: float | None = None
    evidence_close: float | None = None
    tasters: tuple[str, ...] = ()
    panel: Panel = "one taster"
    error: float = DEALT
    fixed: bool = False
    p_d: float | None = None
    attribute: str = ""
    way: Letter | None = None
    cups: tuple[str, str] = ("A", "B")
    brews: frozenset[int] = frozenset()
    gone: Gone = ""
    left_out: int = 0
    title: str = ""

    @property
    def lean(self) -> Lean | None:
        """Which way the evidence of a test leans; None where it leans neither way."""
        if self.state == "shown" or self.state == "close enough":
            return self.state
        more, mirror = self.evidence or 0.0, self.evidence_close or 0.0
        if max(more, mirror) < HINT_AT - ROUNDING:
            return None
        return "shown" if more >= mirror else "close enough"

    @property
    def over(self) -> bool:
        """Whether nothing more is expected of it."""
        return self.state != "open" or bool(self.gone)

    @property
    def is_preference(self) -> bool:
        """Whether it has shown which cup is preferred."""
        return self.way is not None and not self.attribute

    @property
    def more(self) -> str:
        """What the cup is that was shown to have more, or to be preferred."""
        return self.cups["AB".index(self.way)].casefold() if self.way else ""

    def share(self, towards: Lean) -> Share:
        """What it brings to a claim of the family."""
        evidence = self.evidence if towards == "shown" else self.evidence_close
        error = self.error if towards == "shown" else CLOSE
        known, ended = 1.0 if evidence is None else evidence, self.state == towards
        if self.fixed:  # its count may show with little evidence of this kind
            known = (ended / error + known) / 2
        return Share(self.claim, known, ended, error, self.brews)


def counted(tests: Sequence[Blind]) -> list[Blind]:
    """Those that count towards a claim: looked at, and not picked after a look at others."""
    return [test for test in tests if test.trials and not test.left_out]


def parted(tests: Sequence[Blind]) -> tuple[Blind, Blind] | None:
    """Two tests that show opposite directions of one thing, if there are such."""
    for one, other in combinations([test for test in tests if test.way], 2):
        named = {cup.casefold() for cup in one.cups} == {cup.casefold() for cup in other.cups}
        opposite = one.more != other.more if named else one.way != other.way
        if opposite and one.attribute.casefold() == other.attribute.casefold():
            return one, other
    return None
