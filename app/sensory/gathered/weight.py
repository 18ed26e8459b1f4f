"""What the evidence gathered under a question weighs: one published rule for every question.

The rule is our own; /questions/rule says it in words. Sighted cups never make more than a hint,
however many: who knows which cup is which tastes what they expect. Only a blind test that its own
rule has ended settles anything, and cups from one pair of brews settle it for those two brews
only. Evidence is counted in e-values: chance alone ever brings one to x in at most 1 case in x
(Ville's inequality, see evalue), so that looking daily or stopping early does no harm.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb
from typing import Literal

from app.sensory import ROUNDING
from app.sensory.blind.record import Panel, percent
from app.sensory.gathered.sighted import HINT_AT, Sighted, agreement
from app.sensory.gathered.words import (
    LEANS,
    LIMITS,
    ONE_MORE,
    SETTLED,
    SIGHTED,
    SMALLER,
    counted,
    holds_for,
    what_next,
)
from app.sensory.terms import Claim, State

Level = Literal[
    "none",
    "anecdote",
    "hint",
    "mixed",
    "shown for two cups",
    "close enough for two cups",
    "shown",
    "close enough",
]
Lean = Literal["shown", "close enough"]

FALSE_ALARM = 0.05
LEVELS: dict[Claim, dict[Lean, Level]] = {  # the wider claim first
    "these ways of brewing": {"shown": "shown", "close enough": "close enough"},
    "these cups": {"shown": "shown for two cups", "close enough": "close enough for two cups"},
}


@dataclass(frozen=True)
class Blind:
    """A blind test as it stands, with the e-values of its answers so far.

    `evidence` is against guessing (for a preference against a coin), `evidence_close` against the
    smallest difference that would matter; None where the test is not judged by such a yardstick.
    """

    claim: Claim
    state: State
    trials: int
    evidence: float | None = None
    evidence_close: float | None = None
    tasters: tuple[str, ...] = ()
    panel: Panel = "one taster"

    @property
    def lean(self) -> Lean | None:
        """Which way the evidence of a test leans; None where it leans neither way."""
        more, mirror = self.evidence or 0.0, self.evidence_close or 0.0
        if max(more, mirror) < HINT_AT - ROUNDING:
            return None
        return "shown" if more >= mirror else "close enough"


@dataclass(frozen=True)
class Weight:
    """A level, the reason for it, whom it holds for, what it does not say, and what to do next."""

    level: Level
    reason: str
    holds_for: str
    not_said: str
    next_step: str


def weigh(blind: Sequence[Blind], sighted: Sequence[Sighted] = (), scored_brews: int = 0) -> Weight:
    """The weight of everything gathered: the first of these that applies.

    Settled tests of ways of brewing; settled tests of two cups; hints; anecdotes; none.
    """
    for claim, levels in LEVELS.items():
        settled = _settled([test for test in blind if test.claim == claim], levels)
        if settled is not None:
            return settled
    return _hinted(blind, sighted) or _undirected(blind, sighted, scored_brews)


def luck(shown: int, ended: int) -> float:
    """Chance that guessing alone gets at least `shown` of `ended` tests to show a difference."""
    each = FALSE_ALARM
    ways = (comb(ended, k) * each**k * (1 - each) ** (ended - k) for k in range(shown, ended + 1))
    return sum(ways)


def _settled(tests: Sequence[Blind], levels: dict[Lean, Level]) -> Weight | None:
    """What the ended tests of one claim say together; None if none of them has a result."""
    ended = [test for test in tests if test.state != "open" and test.trials]
    shown = [test for test in ended if test.state == "shown"]
    close = [test for test in ended if test.state == "close enough"]
    if shown and close:
        reason = (
            f"Blind tests that ended: {len(ended)}. A difference was shown in {len(shown)}, close "
            f"enough in {len(close)}. Both can be true: a difference smaller than the size set "
            "beforehand, or cups or tasters that are not alike."
        )
        return _weight("mixed", reason, shown + close, step=SMALLER)
    if not (shown or close):
        return None
    word: Lean = "shown" if shown else "close enough"
    chance = luck(len(shown), len(ended))
    if shown and chance > FALSE_ALARM + ROUNDING:
        reason = (
            f"Blind tests that ended: {len(ended)}. A difference was shown in {len(shown)}; "
            f"guessing alone gets that far in {percent(chance)} of such sets, so it may be luck."
        )
        return _weight("mixed", reason, ended, step=ONE_MORE)
    reason = f"In {len(shown or close)} of {len(ended)} blind tests that ended, {SETTLED[word]}."
    if len(ended) == 1:
        reason = f"A blind test, ended by the rule chosen beforehand: {SETTLED[word]}."
    return _weight(levels[word], reason, shown or close)


def _hinted(blind: Sequence[Blind], sighted: Sequence[Sighted]) -> Weight | None:
    """Blind tests that lean without being settled, and fair comparisons that agree."""
    leaning = [test for test in blind if test.lean]
    sentences, leans = [], {test.lean for test in leaning}
    for lean in sorted(filter(None, leans), reverse=True):
        count = sum(test.lean == lean for test in leaning)
        tests = "A blind test leans" if count == 1 else f"{count} blind tests lean"
        sentences.append(f"{tests} towards {LEANS[lean]}; no rule has settled it.")
    agreeing = agreement(sighted)
    if agreeing:
        sentences.append(agreeing)
        leans.add("shown")
    if not sentences:
        return None
    level: Level = "mixed" if len(leans) == 2 else "hint"
    return _weight(level, " ".join(sentences), leaning, open_test=_under_way(blind))


def _undirected(blind: Sequence[Blind], sighted: Sequence[Sighted], scored_brews: int) -> Weight:
    """An anecdote or nothing, where no evidence leans either way."""
    fair, trials = sum(pair.fair for pair in sighted), sum(test.trials for test in blind)
    cups = [counted(scored_brews, "scored brew")] if scored_brews else []
    cups += [f"{counted(len(sighted), 'side by side')}, {fair} fair"] if sighted else []
    tests = f" Blind trials so far: {trials}, leaning neither way." if trials else ""
    open_test = _under_way(blind)
    if not cups:
        reason = f"Nothing gathered here says how it tastes.{tests}"
        return _weight("none", reason, (), open_test=open_test)
    reason = f"Only cups outside a blind test: {' and '.join(cups)}.{tests}"
    return _weight("anecdote", reason, (), open_test=open_test, fair=fair)


def _under_way(blind: Sequence[Blind]) -> bool:
    return any(test.state == "open" and test.trials for test in blind)


def _weight(
    level: Level,
    reason: str,
    tests: Sequence[Blind],
    *,
    open_test: bool = False,
    fair: int = 0,
    step: str = "",
) -> Weight:
    names = tuple(dict.fromkeys(name for test in tests for name in test.tasters))
    people = len(tests) == 1 and tests[0].panel == "one trial each"
    whom = holds_for(names, people=people) if tests else SIGHTED if level != "none" else ""
    step = step or what_next(level, names, open_test=open_test, fair=fair)
    return Weight(level, reason, whom, LIMITS[level], step)
