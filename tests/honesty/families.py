"""False claims of questions with twenty blind tests, as the page of a question weighs them.

Every test is answered trial by trial until its rule ends it or nobody goes on. The question is
looked at after every test, and within each at the trial where its evidence stood highest. What the
test answered first claims by its own rule is added exactly, and the families are drawn among those
in which it did not, so that the figures carry about .001.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from copy import copy
from dataclasses import dataclass, replace
from functools import cache
from math import prod
from typing import cast

import numpy as np

from app.sensory.blind.counts import read_counts
from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.sequential import EveryMorning, Rule
from app.sensory.blind.steps import StepByStep
from app.sensory.gathered.blind import Blind, Lean
from app.sensory.gathered.errors import false_alarm
from app.sensory.gathered.sighted import HINT_AT, Sighted, contrasts, multiplied
from app.sensory.gathered.weight import weigh
from app.sensory.terms import CLAIMS, Claim, Discrimination, State
from tests.honesty.table import Figure, at_least, at_most

RUNS, TESTS, GIVEN_UP = 20_000, 20, 40
FAR_OFF = 10.0  # below it a family is a long way from every line, and is not weighed
WAYS: Claim = "these ways of brewing"
ENDS: tuple[State, ...] = ("open", "shown", "close enough", "undecided", "stopped")
CLAIMED = {
    "shown": ("shown", "shown for two cups"),
    "close enough": ("close enough", "close enough for two cups"),
}


@dataclass(frozen=True)
class Kind:
    """A plan: method and rule, given up after so many trials where the rule has not ended it, or as
    soon as its evidence is below `patience`."""

    method: Discrimination
    rule: Rule
    given_up: int = GIVEN_UP
    claim: Claim = WAYS
    patience: float = 0.0

    @property
    def fixed(self) -> bool:
        return isinstance(self.rule, FixedNumber)


class Test:
    """A test as it was left, and the looks at it at which a family may newly claim: where it was
    left and where its evidence was highest before, if it adds anything there."""

    def __init__(self, left: Blind, high: Blind, high_close: Blind) -> None:
        self.left = left
        self.looks: dict[Lean, list[Blind]] = {
            "shown": [one for one in (high, left) if one.share("shown").worth > 1],
            "close enough": [
                one for one in (high_close, left) if one.share("close enough").worth > 1
            ],
        }


Families = Iterator[list[Test]]

MORNING = Kind("triangle", EveryMorning(1 / 3))
BOTH_WAYS = Kind("paired", EveryMorning(1 / 2, both_ways=True))
STEPS = Kind("duo-trio", StepByStep(1 / 2, 0.4), 60)
FIXED = Kind("triangle", FixedNumber(1 / 3, 18, p_d=0.4), 18)
PLANS: dict[str, tuple[Kind, ...]] = {
    "every morning, guess 1/3": (MORNING,),
    "every morning, guess 1/2": (Kind("duo-trio", EveryMorning(1 / 2)),),
    "every morning, both ways": (BOTH_WAYS,),
    "fixed number 18, guess 1/3": (FIXED,),
    "fixed number 30, guess 1/2": (Kind("duo-trio", FixedNumber(1 / 2, 30, p_d=0.4), 30),),
    "step by step, guess 1/2": (STEPS,),
    "all rules in turn": (MORNING, FIXED, STEPS, BOTH_WAYS),
    "two cups and two ways in turn": (replace(MORNING, claim="these cups"), BOTH_WAYS),
}
# Where the chance of a wrong "close enough" is largest.
CLOSE_PLANS = ("every morning, guess 1/3", "every morning, both ways", "step by step, guess 1/2")
CLOSE_PLANS += ("fixed number 18, guess 1/3", "all rules in turn")


def checks() -> Iterator[Figure]:
    for name, kinds in PLANS.items():
        yield at_most(f"20 tests, {name}: shown", 0.05, _shown(kinds))
        if name in CLOSE_PLANS:
            found = _ever(_close(kinds), "close enough")
            yield at_most(f"20 tests, {name}: close enough", 0.05, found)
    yield from _picked()
    yield from _dependent()
    yield at_most("20 tests, each given up when it goes badly: shown", 0.05, _given_up())
    found = _hints()
    yield at_most("5 tests, 5 things compared sighted: a hint of a difference", 1 / 3, found)
    yield from _power()


def _rng(*seed: int) -> np.random.Generator:
    return np.random.default_rng([20260915, *seed])


@cache
def _blind(kind: Kind, correct: int, n: int, state: State) -> Blind:
    read = read_counts(kind.method, correct, n, kind.rule.p_d if _has_size(kind.rule) else 0.4)
    return Blind(
        kind.claim, state, n, read.evidence, read.evidence_close, ("Nell",),
        error=false_alarm(kind.rule), fixed=kind.fixed, p_d=0.4,
    )  # fmt: skip


def _has_size(rule: Rule) -> bool:
    return getattr(rule, "p_d", None) is not None


@cache
def _table(kind: Kind) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """By trials and right answers: how the rule ends it, and the evidence either way."""
    size = kind.given_up + 1
    ends = np.zeros((size, size), dtype=int)
    evidence, close = np.zeros((size, size)), np.zeros((size, size))
    for n in range(1, size):
        for correct in range(n + 1):
            ends[n, correct] = ENDS.index(kind.rule.state(correct, n))
            one = _blind(kind, correct, n, "open")
            evidence[n, correct] = one.evidence
            close[n, correct] = one.evidence_close
            if ends[n, correct] == 0 and evidence[n, correct] < kind.patience:
                ends[n, correct] = ENDS.index("stopped")
    return ends, evidence, close


def _drawn(kind: Kind, share: float, runs: int, rng: np.random.Generator) -> list[Test]:
    """Tests in which this share of answers is right, each carried on to its end."""
    ends, evidence, close = _table(kind)
    right = np.zeros(runs, dtype=int)
    going = np.ones(runs, dtype=bool)
    left = np.zeros((3, runs), dtype=int)  # trials, right answers, end
    highs = np.zeros((2, 3, runs))  # evidence, trials, right answers; either way
    for n in range(1, kind.given_up + 1):
        right += going & (rng.random(runs) < share)
        end = ends[n, right]
        over = going & ((end > 0) | (n == kind.given_up))
        for row, value in enumerate((n, right, end)):
            left[row] = np.where(over, value, left[row])
        going &= ~over
        for high, table in zip(highs, (evidence, close), strict=True):
            more = going & (table[n, right] > high[0])
            for row, value in enumerate((table[n, right], n, right)):
                high[row] = np.where(more, value, high[row])
    codes = np.vstack([left, highs[0, 1:].astype(int), highs[1, 1:].astype(int)])
    made: dict[tuple[int, ...], Test] = {}
    for code in map(tuple, np.unique(codes, axis=1).T.tolist()):
        n, correct, end, *high = code
        state: State = ENDS[end] if end else "stopped"
        made[code] = Test(
            _blind(kind, correct, n, state),
            _blind(kind, high[1], high[0], "open"),
            _blind(kind, high[3], high[2], "open"),
        )
    return [made[code] for code in map(tuple, codes.T.tolist())]


def _families(
    kinds: tuple[Kind, ...], share: Callable[[Kind], float], runs: int = RUNS, *seed: int
) -> Families:
    """Families of TESTS tests, of the kinds in turn; `share` of a kind's answers are right."""
    columns = [
        _drawn(kind := kinds[at % len(kinds)], share(kind), runs, _rng(*seed, at))
        for at in range(TESTS)
    ]
    for row in zip(*columns, strict=True):
        yield list(row)


def _guessing(kind: Kind) -> float:
    return kind.rule.guess


def _at_the_size(kind: Kind) -> float:
    """Right answers where the difference is as large as the size set beforehand."""
    p_d = getattr(kind.rule, "p_d", None) or 0.4
    return kind.rule.guess + p_d * (1 - kind.rule.guess)


def _claims(family: list[Test], word: Lean) -> bool:
    """Whether a question says so at any look, its tests added one after another."""
    before: list[Blind] = []
    for test in family:
        for blind in test.looks[word]:
            looked_at = [*before, blind]
            if _together(looked_at, word) >= FAR_OFF and weigh(looked_at).level in CLAIMED[word]:
                return True
        before.append(test.left)
    return False


def _together(tests: list[Blind], word: Lean) -> float:
    """What the tests of one claim, but for the first, bring together at most."""
    found = dict.fromkeys(CLAIMS, 1.0)
    for test in tests[1:] if word == "shown" else tests:
        found[test.claim] *= _worth(test, word)
    return max(found.values())


@cache
def _worth(test: Blind, word: Lean) -> float:
    return test.share(word).worth


def _ever(families: Families, word: Lean) -> float:
    return float(np.mean([_claims(family, word) for family in families]))


def _shown(kinds: tuple[Kind, ...]) -> float:
    """Exact for the first test, drawn for the rest among families in which it showed nothing."""
    first = false_alarm(kinds[0].rule)
    families = (one for one in _families(kinds, _guessing) if one[0].left.state != "shown")
    return first + (1 - first) * _ever(families, "shown")


def _close(kinds: tuple[Kind, ...]) -> Families:
    return _families(kinds, _at_the_size, RUNS, 1)


def _picked() -> Iterator[Figure]:
    """Tests that are chosen, or cleared away, once their answers are known."""
    kinds = PLANS["all rules in turn"]
    picked = cleared = 0
    for family in _families(kinds, _guessing, RUNS, 2):
        tests = [test.left for test in family]
        shown = [one for one in tests if one.state == "shown"]
        chosen = [replace(one, left_out=TESTS - len(shown)) for one in shown]
        picked += weigh(chosen).level in CLAIMED["shown"]
        if tests[0].state != "shown":
            left = [one if one in shown else replace(one, gone="in the bin") for one in tests]
            cleared += weigh(left).level in CLAIMED["shown"]
    yield at_most("20 tests in the journal, those shown put here later: shown", 0.05, picked / RUNS)
    alone = false_alarm(kinds[0].rule)
    yield at_most(
        "20 tests, all but those shown put in the bin: shown", 0.05, alone + cleared / RUNS
    )


def _dependent() -> Iterator[Figure]:
    """Tests of two ways, poured two by two from the same brews, whose luck is in both."""
    kind = Kind("duo-trio", EveryMorning(1 / 2))
    families = _families((kind,), _guessing, RUNS, 3)
    twice = ([_poured(test, at // 2) for at, test in enumerate(_doubled(one))] for one in families)
    first = false_alarm(kind.rule)
    others = (one for one in twice if one[0].left.state != "shown")
    found = first + (1 - first) * _ever(others, "shown")
    yield at_most("20 tests, two by two from the same brews: shown", 0.05, found)


def _doubled(family: list[Test]) -> list[Test]:
    """Every test of the first half twice: as alike as luck in common can make them."""
    return [test for test in family[: TESTS // 2] for _ in range(2)]


def _poured(test: Test, pair: int) -> Test:
    poured = copy(test)
    poured.left = replace(test.left, brews=frozenset({pair}))
    poured.looks = {
        word: [replace(one, brews=frozenset({pair})) for one in looks]
        for word, looks in test.looks.items()
    }
    return poured


def _given_up() -> float:
    return _shown((Kind("duo-trio", EveryMorning(1 / 2), patience=0.6),))


def _hints() -> float:
    """Tests and sighted coins taken in turn, looked at after each; a question is judged where its
    evidence together is 3, the only place at which the rule may say a hint."""
    kind, rng, hints, runs = Kind("triangle", EveryMorning(1 / 3)), _rng(4), 0, 3_000
    ends = _table(kind)[0]
    for _ in range(runs):
        counts, pairs = np.zeros((5, 2), dtype=int), list[Sighted]()
        for step in range(100):
            at = step % 5
            if step % 2:
                favours = "the lower" if rng.random() < 0.5 else "the higher"
                pairs.append(Sighted(True, f"thing {at}", favours))
            elif not ends[counts[at, 0], counts[at, 1]]:
                counts[at] += (1, rng.random() < 1 / 3)
            tests = [
                _blind(kind, int(s), int(n), cast(State, ENDS[ends[n, s]])) for n, s in counts if n
            ]
            together = prod(one.evidence or 1.0 for one in tests) * multiplied(contrasts(pairs))
            if together < HINT_AT - 1:
                continue
            said = weigh(tests, pairs)
            # towards close enough it is none: nothing differs
            if said.level == "hint" and "close enough" not in said.reason:
                hints += 1
                break
    return hints / runs


def _power() -> Iterator[Figure]:
    """The rule is of no use unless it finds what is there."""
    kind = (Kind("duo-trio", EveryMorning(1 / 2)),)
    real = (one[:3] for one in _families(kind, lambda _: 0.8, 4_000, 5))
    yield at_least("3 tests, perceived in 60 % of trials: shown", 0.90, _ever(real, "shown"))
    same = (one[:3] for one in _families(kind, _guessing, 4_000, 6))
    found = _ever(same, "close enough")
    yield at_least("3 tests of what is the same: close enough", 0.50, found)
