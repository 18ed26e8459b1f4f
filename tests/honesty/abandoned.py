"""Several who pour for themselves, and leave the marks of unwelcome answers unread.

Simulated minute by minute with the tool's own reading of the answers (`Answers.read`) and its own
rules. A mark that is not read for a day is lost, as the tool has it. Who leaves some has four
tasters at hand: an answer without its mark holds up its own taster only.

Each simulated test is also read as if every mark had been read at once. That one's chance is known
exactly, so that only what leaving adds to it has to be simulated.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from functools import lru_cache
from random import Random
from types import SimpleNamespace
from typing import Any, NamedTuple

from app.journal.blind.answers import Answers
from app.journal.blind.open import MARK_WAITS
from app.sensory.blind.discrimination import correct_share
from app.sensory.blind.planning import outcomes
from app.sensory.blind.preference import Choice
from app.sensory.blind.preference_rule import preference_lines, settled_choices
from app.sensory.blind.sequential import EveryMorning, FixedNumber, Rule, settled
from app.sensory.terms import State
from tests.honesty.table import Figure, at_most
from tests.support.clock import NOON

TASTERS, TRIALS, TESTS = 4, 30, 300
LEFT = (0.25, 0.5, 1.0)
BETWEEN = timedelta(minutes=10)
SIZE = 0.4
Reading = Callable[[Answers], Sequence[Any]]
Judged = Callable[[Sequence[bool | None]], State | None]


class EveryMorningOnce(EveryMorning):
    """The same rule, which remembers what it has worked out."""

    state = lru_cache(maxsize=None)(EveryMorning.state)


class FixedNumberOnce(FixedNumber):
    state = lru_cache(maxsize=None)(FixedNumber.state)


@dataclass
class Table:
    """A test under way: every answer given, whether it is right, and whether its mark was read."""

    source: Random
    right_share: float
    left: float
    unwelcome: bool
    trials: list[Any] = field(default_factory=list)

    def answer(self, number: int, taster: int) -> None:
        right = self.source.random() < self.right_share
        leaves = right == self.unwelcome and self.source.random() < self.left
        at = NOON + number * BETWEEN
        self.trials.append(
            SimpleNamespace(
                id=number, taster=taster, answered_at=at, voided_at=None, served_at=at,
                warm_up=False, right=right, read=not leaves,
            )
        )  # fmt: skip

    def answers(self, number: int) -> Answers:
        """As the journal reads them at this trial: overdue marks are lost."""
        now = NOON + number * BETWEEN
        done, waits = [], []
        for trial in self.trials:
            overdue = now - trial.answered_at >= MARK_WAITS
            (done if trial.read or overdue else waits).append(trial)
        return Answers(tuple(done), tuple(waits))

    def free(self, number: int) -> list[int]:
        held_up = {trial.taster for trial in self.answers(number).waiting}  # type: ignore[attr-defined]
        return [taster for taster in range(TASTERS) if taster not in held_up]


def as_the_tool_reads(answers: Answers) -> Sequence[Any]:
    return answers.read


class Both(NamedTuple):
    """Shares of tests in a state at some look: with marks left, and with all read at once."""

    left: float
    read: float


def ever(
    state: State,
    judged: Judged,
    *,
    right_share: float,
    left: float,
    unwelcome: bool = False,
    read: Reading = as_the_tool_reads,
    tests: int = TESTS,
) -> Both:
    """The tests that are in this state at some look, where answers that are unwelcome (wrong,
    unless said) are left unread with chance `left`. Looked at after every answer."""
    source, found, plain = Random(20 + round(100 * left)), 0, 0
    for _ in range(tests):
        table = Table(source, right_share, left, unwelcome)
        number, ended = 0, None
        while ended is None and len(table.trials) < TRIALS:
            free = table.free(number)
            if free:
                table.answer(number, source.choice(free))
            number += 1 if free else 6  # nobody is free: look again an hour later
            rights = [one.right if one.read else None for one in read(table.answers(number))]
            ended = judged(rights)
        found += ended == state
        plain += judged([one.right for one in table.trials]) == state
    return Both(found / tests, plain / tests)


def with_marks_left(exact: float, both: Both) -> float:
    """The chance with marks left: the exact one without, and what leaving adds to it."""
    return max(exact + both.left - both.read, 0.0)


def by_rule(rule: Rule) -> Judged:
    def judged(rights: Sequence[bool | None]) -> State | None:
        end = settled(rule, rights)
        return end[1] if end else None

    return judged


def preferred(rights: Sequence[bool | None]) -> State | None:
    """The same for a preference: right stands for A, wrong for B."""
    choices = [None if right is None else Choice("A" if right else "B", "A") for right in rights]
    end = settled_choices(choices, None)
    return end[1] if end else None


def checks() -> Iterator[Figure]:
    rules: dict[str, tuple[float, Rule]] = {
        "triangle": (1 / 3, EveryMorningOnce(1 / 3, SIZE)),
        "triangle, 18 trials": (1 / 3, FixedNumberOnce(1 / 3, 18, p_d=SIZE)),
        "paired, both ways": (1 / 2, EveryMorningOnce(1 / 2, SIZE, both_ways=True)),
    }
    for name, (guess, rule) in rules.items():
        lines, judged = rule.lines(TRIALS), by_rule(rule)
        exact = outcomes(lines, guess).shown[-1]
        for left in LEFT:
            both = ever("shown", judged, right_share=guess, left=left)
            what = f"{name}: shown by guessing, wrong marks left with chance {left}"
            yield at_most(what, 0.05, with_marks_left(exact, both))
        p1 = correct_share(SIZE, guess)
        both = ever("close enough", judged, right_share=p1, left=1.0, unwelcome=True)
        close = with_marks_left(outcomes(lines, p1).close[-1], both)
        yield at_most(
            f"{name}: close enough at the size that matters, right marks left", 0.10, close
        )
    exact = outcomes(preference_lines(None, TRIALS), 0.5).shown[-1]
    for left in LEFT:
        both = ever("shown", preferred, right_share=0.5, left=left)
        what = f"preference of a coin: shown, marks for B left with chance {left}"
        yield at_most(what, 0.05, with_marks_left(exact, both))
