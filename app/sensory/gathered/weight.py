"""What the evidence gathered under a question weighs: one published rule for every question.

The rule is our own; /questions/rule says it in words. Sighted cups never make more than a hint,
however many: who knows which cup is which tastes what they expect. Only blind tests that their own
rules have ended settle anything, and cups from one pair of brews settle it for those two brews
only. All that was looked at counts as one family (see family): chance alone brings a question to
"shown" in at most 1 of 20, to "close enough" likewise, and to a hint in at most 1 of 3, however
often one looks and whatever is added.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb
from typing import Literal

from app.sensory import ROUNDING
from app.sensory.blind.record import percent
from app.sensory.gathered import looked_at, sighted, words
from app.sensory.gathered.blind import Blind, Lean, counted, parted
from app.sensory.gathered.errors import CLOSE
from app.sensory.gathered.family import Account, account, multiplied
from app.sensory.gathered.several import ALPHA
from app.sensory.gathered.sighted import HINT_AT, Contrast, Sighted
from app.sensory.terms import Claim

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

LEVELS: dict[Claim, dict[Lean, Level]] = {  # the wider claim first
    "these ways of brewing": {"shown": "shown", "close enough": "close enough"},
    "these cups": {"shown": "shown for two cups", "close enough": "close enough for two cups"},
}
LUCK: dict[Lean, float] = {"shown": ALPHA, "close enough": CLOSE}


@dataclass(frozen=True)
class Weight:
    """A level, the reason for it, whom it holds for, what it does not say, and what to do next.

    `looked_at` says how much was looked at and what that is bounded to, `sums` the figures.
    """

    level: Level
    reason: str
    holds_for: str
    not_said: str
    next_step: str
    looked_at: str = ""
    sums: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Family:
    """Everything under a question that was looked at."""

    tests: list[Blind]
    shown: Account
    close: Account
    contrasts: list[Contrast]
    pairs: Sequence[Sighted]

    def may_claim(self, word: Lean, claim: Claim) -> bool:
        return claim in (self.shown if word == "shown" else self.close).claims

    def towards(self, word: Lean) -> float:
        """Evidence of all of it, multiplied; side by sides speak for a difference only."""
        of_tests = multiplied([test.share(word) for test in counted(self.tests)])
        return of_tests * (sighted.multiplied(self.contrasts) if word == "shown" else 1.0)


def weigh(
    blind: Sequence[Blind], pairs: Sequence[Sighted] = (), scored_brews: int = 0, groups: int = 0
) -> Weight:
    """The weight of everything gathered: the first of these that applies.

    Settled tests of ways of brewing; settled tests of two cups; hints; anecdotes; none. `blind`
    stand in the order of their first answers, `pairs` in the order of time. `groups` of cups that
    were compared are anecdotes, however many: nobody counts what else was looked at.
    """
    tests = [test for test in blind if test.trials]
    shown, close = (account([t.share(word) for t in counted(tests)]) for word in LUCK)
    family = _Family(tests, shown, close, sighted.contrasts(pairs), pairs)
    for claim in LEVELS:
        settled = _settled(family, claim)
        if settled is not None:
            return settled
    return _hinted(family) or _undirected(family, scored_brews, groups)


def luck(ended_so: int, ended: int, each: float = ALPHA) -> float:
    """Chance that at least `ended_so` of `ended` tests end so, each with the chance `each`."""
    ways = (
        comb(ended, k) * each**k * (1 - each) ** (ended - k) for k in range(ended_so, ended + 1)
    )
    return sum(ways)


def _settled(family: _Family, claim: Claim) -> Weight | None:
    """What the ended tests of one claim say together; None where they settle nothing."""
    over = [test for test in family.tests if test.claim == claim and test.over]
    shown = [test for test in over if test.state == "shown"]
    close = [test for test in over if test.state == "close enough"]
    if shown and close:
        reason = words.PARTED.format(len(over), len(shown), len(close))
        return _weight("mixed", reason, family, shown + close, step=words.SMALLER)
    opposite = parted(shown)
    if opposite:
        reason = words.opposite(opposite[0].attribute, *(one.more for one in opposite))
        return _weight("mixed", reason, family, shown, step=words.WHO, not_said=words.NEITHER_CUP)
    if not (shown or close):
        return None
    word: Lean = "shown" if shown else "close enough"
    chance = luck(len(shown or close), len(over), LUCK[word])
    if chance > ALPHA + ROUNDING and len(over) > 1:
        reason = words.by_luck(word, len(shown or close), len(over), percent(chance))
        return _weight("mixed", reason, family, over, step=words.ONE_MORE)
    if not family.may_claim(word, claim):
        return None
    size = max((test.p_d or 0.0 for test in close), default=0.0)
    told = words.settled_words(word, shown or close, percent(size) if size else "")
    reason = words.settled(told, len(shown or close), len(over))
    preferred = any(test.is_preference for test in shown)
    not_said = words.PREFERRED_OF[claim] if preferred else ""
    return _weight(LEVELS[claim][word], reason, family, shown or close, not_said=not_said)


def _hinted(family: _Family) -> Weight | None:
    """Tests that lean, or ended with too little for all that is here, and pairs that agree."""
    leaning = [test for test in family.tests if test.lean]
    sentences = words.leaning(leaning)
    leans = {test.lean for test in leaning}
    agreeing = [contrast.sentence for contrast in family.contrasts if contrast.agrees]
    if agreeing and not any(test.state == test.lean and not test.left_out for test in leaning):
        leans.add("shown")  # sighted cups do not speak against a test that has ended
    found: list[Lean] = [word for word in LUCK if family.towards(word) >= HINT_AT - ROUNDING]
    if len(leans) == 2:
        return _hint("mixed", [*sentences, *agreeing], family, leaning)
    if not leans:
        if not found:
            return None
        together = words.TOGETHER.format(words.LEANS[found[0]])
        return _hint("hint", [together], family, counted(family.tests))
    picked = [test for test in leaning if test.left_out]
    if leans <= set(found) or picked:
        not_said = words.PICKED if not leans <= set(found) else ""
        return _hint("hint", [*sentences, *agreeing], family, leaning, not_said)
    return _hint("mixed", [*sentences, *agreeing, words.NOT_TOGETHER], family, leaning)


def _hint(
    level: Level,
    sentences: Sequence[str],
    family: _Family,
    tests: Sequence[Blind],
    not_said: str = "",
) -> Weight:
    step = words.step_after(tests) if level == "hint" else ""
    said = _weight(level, " ".join(sentences), family, tests, step=step, not_said=not_said)
    return said


def _undirected(family: _Family, scored_brews: int, groups: int) -> Weight:
    """An anecdote or nothing, where no evidence leans either way."""
    here = [pair for pair in family.pairs if not pair.gone]
    fair, trials = sum(pair.fair for pair in here), sum(test.trials for test in family.tests)
    cups = [words.counted(scored_brews, "scored brew")] if scored_brews else []
    cups += [words.counted(groups, "comparison") + " of groups of cups"] if groups else []
    cups += [f"{words.counted(len(here), 'side by side')}, {fair} fair"] if here else []
    tests = f" Blind trials so far: {trials}, leaning neither way." if trials else ""
    if not cups:
        return _weight("none", f"Nothing gathered here says how it tastes.{tests}", family, ())
    named = " and ".join([", ".join(cups[:-1]), cups[-1]] if len(cups) > 1 else cups)
    reason = f"Only cups outside a blind test: {named}.{tests}"
    return _weight("anecdote", reason, family, (), fair=fair)


def _weight(
    level: Level,
    reason: str,
    family: _Family,
    tests: Sequence[Blind],
    *,
    fair: int = 0,
    step: str = "",
    not_said: str = "",
) -> Weight:
    names = tuple(dict.fromkeys(name for test in tests for name in test.tasters))
    people = len(tests) == 1 and tests[0].panel == "one trial each"
    whom = words.holds_for(names, people=people) if tests else ""
    if not tests and level != "none":
        whom = words.SIGHTED
    under_way = any(test.state == "open" and not test.gone for test in family.tests)
    step = step or words.what_next(level, names, open_test=under_way, fair=fair)
    looked = looked_at.sentence(family.tests, len(family.contrasts))
    limit = not_said or words.limit(level, len(counted(family.tests)) + len(family.contrasts))
    sums = looked_at.sums(
        family.tests, family.shown, family.close, [family.towards(word) for word in LUCK]
    )
    return Weight(level, reason, whom, limit, step, looked, sums)
