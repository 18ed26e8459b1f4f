"""Sentences for strangers: the evidence of an answer, its limits, and how it was tasted."""

from collections import Counter
from collections.abc import Sequence

from app.sensory.gathered.weight import Level
from app.sensory.terms import Brewing, Pouring, State

NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve")  # fmt: skip
CHANCE = "chance alone would bring the evidence this far in at most 1 case in 20"
LEADS: dict[Level, str] = {
    "none": "This answer rests on no tasting: nothing gathered for it says how the coffee tastes.",
    "anecdote": "This is an anecdote: no blind test has come to a result, so the luck of single "
    "cups and what one expects to taste may be in it.",
    "hint": "This is a hint, not a proof: what was tasted leans one way, as chance alone brings "
    "about in up to 1 case in 3.",
    "mixed": "The evidence is mixed: what was tasted points in more than one direction.",
    "shown for two cups": "{tests} that {found}; this holds for one pair of brews, and {chance}.",
    "close enough for two cups": "{tests} that {found}; this holds for one pair of brews, and a "
    "smaller difference is not ruled out.",
    "shown": "{tests} that {found}; {chance}.",
    "close enough": "{tests} that {found}; a smaller difference is not ruled out.",
}
CLOSE = "the two come too close to be told apart by the size of difference that was set beforehand"
TOLD_APART = "the two can be told apart by taste"
NEXT_PAIR = "Another pair of brews of the same kind may come out differently."
LIMITS: dict[Level, Sequence[str]] = {
    "none": ("Nothing is known either way.",),
    "anecdote": ("It cannot tell a difference from luck or expectation.",),
    "hint": ("It does not show anything yet: only blind tests that reach their end do.",),
    "mixed": ("It does not say which of these it is.",),
    "shown for two cups": ("It does not say how large the difference is.", NEXT_PAIR),
    "close enough for two cups": ("It does not say that there is no difference.", NEXT_PAIR),
    "shown": ("It does not say how large the difference is.",),
    "close enough": ("It does not say that there is no difference.",),
}
NOT_BETTER = "It does not say which of the two is better."
ONE_TASTER = "It is one taster’s; others may taste it differently."
FEW_TASTERS = "It is these tasters’; others may taste it differently."
PEOPLE = "Each taster gave one answer: it is about people like these taken together."
POURED: dict[Pouring, str] = {
    "helper": "a helper poured the cups, out of sight and under drawn codes",
    "solo": "the taster poured alone and turned the cups round unseen; which was which was looked "
    "up after the answer",
    "coded": "the cups came from doses under drawn codes",
}
BREWED: dict[Brewing, str] = {
    "one pair": "all cups came from one pair of brews",
    "fresh pair each trial": "both were brewed afresh for every trial",
    "every cup its own": "every cup was brewed by itself",
}
ENDED: dict[State, str] = {
    "shown": "By the rule set beforehand that shows that {found}.",
    "close enough": "By the rule set beforehand that is close enough: a difference of the size set "
    "beforehand would rarely leave it so.",
    "undecided": "By the rule set beforehand it ended undecided.",
    "stopped": "It was stopped before its rule ended it, so it has no verdict.",
    "open": "It is still under way.",
}
CHANGED = "What was noted of the brews behind a blind test was changed after its answers."
HIDDEN = "Its result is not looked at before its end."
CUPS_UNSAID = (
    "What cups A and B of a blind test were is known only in your own words. Let these in, so that "
    "strangers can follow."
)
NAMED = "Your own words name {}: they go out as you wrote them."
WHAT_WAS_ASKED = "of what was asked for"
STRENGTH = (
    "Strength of the evidence: a rule of Oddcup’s own. Sighted cups are a hint at most; only blind "
    "tests that their own rules have ended show anything, all that was looked at counted; e-values "
    "of tests multiply (Vovk and Wang 2021, Ann. Statist. 49:1736), and a hint is 3 (Ville’s "
    "inequality)"
)
ESTIMATES = (
    "Estimated strength: equilibrium of the brew (Liang, Chan and Ristenpart 2021, doi "
    "10.1038/s41598-021-85787-1), times the share reached at this grind and time; where strengths "
    "of the same gear were measured, they teach it"
)
REGION = "Box of strength and extraction: SCAA 2015"


def spelled(count: int, what: str, many: str = "") -> str:
    """one taster; three tasters; 13 tasters."""
    return f"{in_words(count)} {what if count == 1 else many or f'{what}s'}"


def in_words(count: int) -> str:
    return NUMBERS[count] if count < len(NUMBERS) else str(count)


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def compared(pairs: int, fair: int, preferred: int) -> str:
    """Side by sides: in how many only what is asked about differed, and one cup was preferred."""
    if pairs == 1:
        said = "One pair of cups was set side by side"
        said += "; only what is asked about differed" if fair else ""
        said += ", and one cup was preferred" if preferred else ""
    else:
        said = f"{capital(spelled(pairs, 'pair'))} of cups were set side by side"
        some, of_these = in_words(fair), in_words(preferred)
        said += f"; in {some} of them only what is asked about differed" if fair else ""
        said += f", and in {of_these} of these one cup was preferred" if preferred else ""
    return f"{said}. Who compared could know which cup was which."


def each_once(tests: Sequence[str]) -> list[str]:
    """Tests of which the same is to be said stand in one line."""
    return [
        text if count == 1 else f"{capital(spelled(count, 'test'))} came out the same, each: {text}"
        for text, count in Counter(tests).items()
    ]
