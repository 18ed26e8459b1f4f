"""The words for the weight of evidence: whom it holds for, its limits, what to do next."""

from collections.abc import Sequence

SETTLED = {
    "shown": "a difference is shown",
    "close enough": "A and B are close enough, for the size of difference set beforehand",
}
LEANS = {"shown": "a difference", "close enough": "close enough"}
SIGHTED = "It holds for those who tasted; they could know which cup was which."
A_DIFFERENCE = "It does not say how large the difference is, nor, without a preference test, which "
NOT_THE_SAME = "It does not say that there is no difference: a smaller one is not ruled out."
TWO_BREWS = " It is about two brews: another pair of the same kind may come out differently."

LIMITS = {
    "none": "Nothing is known either way.",
    "anecdote": "It cannot tell a difference from the luck of single cups, or from what one "
    "expects to taste.",
    "hint": "It does not show anything yet: chance alone brings a hint in up to 1 case in 3.",
    "mixed": "It does not say which of these it is.",
    "shown for two cups": f"{A_DIFFERENCE}is better.{TWO_BREWS}",
    "close enough for two cups": f"{NOT_THE_SAME}{TWO_BREWS}",
    "shown": f"{A_DIFFERENCE}is better.",
    "close enough": NOT_THE_SAME,
}
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
ONE_MORE = "Plan one more test, and count it whatever it says."
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
        "a blind test of ways of brewing that its own rule has ended so. Where several have ended, "
        "more of them show a difference than luck gives in 1 of 20 such sets",
    ),
    (
        "shown for two cups, close enough for two cups",
        "the same of two cups: they came from one pair of brews, and another pair may differ",
    ),
    (
        "hint",
        "a blind test whose evidence has reached 3 either way without its rule having ended it, or "
        "fair side by sides of one thing that agree as much (4 of 4, 7 of 8)",
    ),
    (
        "mixed",
        "blind tests of one claim that ended, or hints, that part ways; or ended tests of which "
        "too few show a difference to rule out luck",
    ),
    (
        "anecdote",
        "scored brews, or side by sides with a preference, that point nowhere together or differ "
        "in several things",
    ),
    ("none", "nothing gathered says how it tastes"),
)
