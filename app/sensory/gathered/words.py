"""The words for the weight of evidence: whom it holds for, its limits, what to do next."""

from collections.abc import Sequence

from app.sensory.gathered.blind import Blind, Lean
from app.sensory.terms import Claim

SETTLED = {
    "shown": "a difference is shown",
    "close enough": "A and B are close enough, for the size of difference set beforehand",
}
LEANS = {"shown": "a difference", "close enough": "close enough"}
SIGHTED = "It holds for those who tasted; they could know which cup was which."
A_DIFFERENCE = "It does not say how large the difference is, nor, without a preference test, which "
NOT_THE_SAME = "It does not say that there is no difference: a smaller one is not ruled out."
TWO_BREWS = " It is about two brews: another pair of the same kind may come out differently."

PREFERRED = "It does not say by how much it is preferred, nor that others would choose the same."

LIMITS = {
    "none": "Nothing is known either way.",
    "anecdote": "It cannot tell a difference from the luck of single cups, or from what one "
    "expects to taste.",
    "mixed": "It does not say which of these it is.",
    "shown for two cups": f"{A_DIFFERENCE}is better.{TWO_BREWS}",
    "close enough for two cups": f"{NOT_THE_SAME}{TWO_BREWS}",
    "shown": f"{A_DIFFERENCE}is better.",
    "close enough": NOT_THE_SAME,
}
PREFERRED_OF: dict[Claim, str] = {
    "these cups": f"{PREFERRED}{TWO_BREWS}",
    "these ways of brewing": PREFERRED,
}
HINT = "It does not show anything yet: chance alone brings a hint in up to 1 case in 3"
PICKED = (
    "It does not show anything yet. What is put here after its first answer may have been picked "
    "from several for what it says, and nothing bounds how often chance alone brings such a hint."
)
PARTED = (
    "Blind tests that ended: {}. A difference was shown in {}, close enough in {}. Both can be "
    "true: a difference smaller than the size set beforehand, or cups or tasters that are not "
    "alike."
)
TOGETHER = "No test leans by itself; all that was looked at, taken together, leans towards {}."
NOT_TOGETHER = "All that was looked at, taken together, does not lean that way."
CARRY_ON = "Carry on the blind test until its own rule ends it."
PLAN = (
    "Plan a blind test and let its rule end it: more sighted cups, however many, are a hint at "
    "most."
)
WAYS = (
    "Test the two ways of brewing: brew both afresh for every trial, in an order drawn by lot, "
    "and ask which cup has more of something or is preferred."
)
SMALLER = (
    "See who tasted and which size was set in each test; a test of the same cups by the same "
    "taster, planned for a smaller size, tells which it is."
)
NEITHER_CUP = "It does not say which cup has more, nor what turns it."
WHO = (
    "See who tasted, and whether A and B were the same in both: tests of the same cups by the same "
    "taster tell whether it turns."
)
ONE_MORE = "Plan one more test, and count it whatever it says."
ANOTHER = (
    "Plan one more test and put it here before its first answer: two that end alike settle it."
)
BEFOREHAND = (
    "Plan one more test and put it here before its first answer: what is put here beforehand "
    "counts in full, whatever it says."
)
NEXT = {
    "none": "Brew both ways on one morning with nothing else changed, and save the two side by "
    "side; or plan a blind test at once.",
    "hint": PLAN,
    "mixed": PLAN,
    "shown for two cups": WAYS,
    "close enough for two cups": WAYS,
    "close enough": "If a smaller difference would matter, plan a test for that size.",
}
FAIR = (
    "Save side by sides in which nothing but this one thing differs. Four fair ones that all go "
    "the same way make a hint; a blind test goes further."
)


def limit(level: str, looked_at: int) -> str:
    """What a level does not say; a hint for the number of things looked at."""
    if level != "hint":
        return LIMITS[level]
    return f"{HINT}, all {looked_at} looked at counted." if looked_at > 1 else f"{HINT}."


def settled_words(word: Lean, tests: Sequence[Blind], size: str) -> str:
    """What tests that ended alike have settled: which cup has more, where all of them say so, and
    for close enough the largest size set beforehand."""
    named = {test.attribute.casefold(): test.attribute for test in tests}
    attribute = next(iter(named.values())) if len(named) == 1 else ""
    if word == "shown":
        more = {test.more: test.cups["AB".index(test.way)] for test in tests if test.way}
        if len(named) != 1 or len(more) != 1 or not all(test.way for test in tests):
            return SETTLED[word]
        (cup,) = more.values()
        if attribute:
            return f"a difference is shown, more {attribute} in {cup}"
        return f"a preference for {cup} is shown"
    within = f" in {attribute}" if attribute else ""
    if not size:
        return SETTLED[word]
    return f"A and B are close enough{within}: not told apart in {size} of trials or more"


def settled(said: str, ended_so: int, ended: int) -> str:
    """What the ended tests of a claim have settled, and in how many of them."""
    if ended == 1:
        return f"A blind test, ended by the rule chosen beforehand: {said}."
    return f"In {ended_so} of {ended} blind tests that ended, {said}."


def by_luck(word: Lean, ended_so: int, ended: int, chance: str) -> str:
    """Tests of which too few ended alike."""
    what, who = {
        "shown": ("A difference was shown", "guessing alone gets"),
        "close enough": (
            "Close enough was the end",
            "a difference of the size set beforehand gets",
        ),
    }[word]
    return (
        f"Blind tests that ended: {ended}. {what} in {ended_so}; {who} that far in {chance} of "
        "such sets, so it may be luck."
    )


def opposite(attribute: str, one: str, other: str) -> str:
    """Two tests that show opposite directions of one thing."""
    more = f"more {attribute}" if attribute else "a preference"
    return (
        f"Blind tests that ended show opposite directions: {more} for {one} in one, for {other} in "
        "another. A difference is there, but not one that always goes the same way."
    )


def leaning(tests: Sequence[Blind]) -> list[str]:
    """A sentence for every way and manner in which tests lean."""
    said = []
    for lean in ("shown", "close enough"):
        of = [test for test in tests if test.lean == lean]
        picked = [test for test in of if test.left_out]
        ended = [test for test in of if test.state == lean and not test.left_out]
        going = len(of) - len(picked) - len(ended)
        if going:
            some = "A blind test leans" if going == 1 else f"{going} blind tests lean"
            said.append(f"{some} towards {LEANS[lean]}; no rule has settled it.")
        said += [_ended(lean, len(ended))] if ended else []
        said += [_picked(lean, picked)] if picked else []
    return said


def _ended(lean: Lean, count: int) -> str:
    """Tests that their own rules have ended, which is not enough for all under the question."""
    some = "A blind test has ended" if count == 1 else f"{count} blind tests have ended"
    if lean == "shown":
        return (
            f"{some} with a difference shown, by its own rule, but not the first one put here: "
            "with all that was looked at counted, that may still be luck."
        )
    return (
        f"{some} close enough, by a rule that is wrong in up to 1 of 10 tests; a question asks for "
        "1 in 20, which two tests that end so reach."
    )


def _picked(lean: Lean, tests: Sequence[Blind]) -> str:
    some = "A blind test" if len(tests) == 1 else f"{len(tests)} blind tests"
    most = max(test.left_out for test in tests)
    others = "another test" if most == 1 else f"{most} other tests"
    verb = "speaks" if len(tests) == 1 else "speak"
    return (
        f"{some} {verb} for {LEANS[lean]}, but came under this question after the first answer, "
        f"while {others} of this journal stayed out."
    )


def step_after(tests: Sequence[Blind]) -> str:
    """What to do after tests that speak too weakly for a claim; empty for the usual step."""
    if any(test.left_out for test in tests):
        return BEFOREHAND
    return ANOTHER if any(test.state in SETTLED for test in tests) else ""


def counted(count: int, word: str) -> str:
    """1 brew, 2 brews."""
    return f"{count} {word}{'' if count == 1 else 's'}"


def holds_for(tasters: Sequence[str], *, people: bool = False) -> str:
    """Whom the tests hold for; `people`: many tasters gave one answer each."""
    if people:
        return "Each taster gave one answer: it holds for people like these taken together."
    if len(tasters) == 1:
        return f"It holds for {tasters[0]}; others may taste it differently."
    names = f"{', '.join(tasters[:-1])} and {tasters[-1]}" if tasters else "those who tasted"
    return f"It holds for these tasters: {names}; others may taste it differently."


def what_next(level: str, tasters: Sequence[str], *, open_test: bool = False, fair: int = 0) -> str:
    """What would make the evidence stronger."""
    if open_test and level in ("none", "anecdote", "hint", "mixed"):
        return CARRY_ON
    if level == "anecdote":
        return PLAN if fair else FAIR
    if level == "shown":
        who = f"somebody other than {tasters[0]}" if len(tasters) == 1 else "more people"
        return f"To carry it further, let {who} taste, or repeat it with another bag."
    return NEXT[level]


LEVELS = (
    (
        "shown, close enough",
        "blind tests of ways of brewing that their own rules have ended so, with one bound over "
        "all that was looked at: chance alone brings a question this far in at most 1 case in 20, "
        "however many tests are added",
    ),
    (
        "shown for two cups, close enough for two cups",
        "the same of two cups: they came from one pair of brews, and another pair may differ",
    ),
    (
        "hint",
        "all that was looked at, taken together, has brought the evidence to 3 either way: a blind "
        "test under way, one that ended but is not enough for the question, or fair side by sides "
        "of one thing that agree (4 of 4, 7 of 8)",
    ),
    (
        "mixed",
        "blind tests of one claim that ended, or hints, that part ways or point in opposite "
        "directions; or too few of those that ended say the same to rule out luck",
    ),
    (
        "anecdote",
        "scored brews, or side by sides with a preference, that point nowhere together or differ "
        "in several things",
    ),
    ("none", "nothing gathered says how it tastes"),
)
