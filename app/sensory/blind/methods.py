"""The forms a blind test can take, as plain facts: cups, question, and what guessing gets."""

from dataclasses import dataclass
from fractions import Fraction

from app.sensory.terms import Claim, Discrimination, Method

SCOPES: dict[Claim, str] = {
    "these cups": "It is about these two brews; another pair from the same recipes may differ.",
    "these ways of brewing": "It is about these ways of brewing as done here, with this bag.",
}

THIRD, HALF = Fraction(1, 3), Fraction(1, 2)


@dataclass(frozen=True)
class MethodFacts:
    """One form of trial; `guess` is the share of right answers that guessing gets.

    `directed` methods need an attribute named beforehand, and which of the two has more of it.
    `both_ways` methods can come out the wrong way round and still tell the cups apart.
    `said` are the two answers of a method that is answered in words instead of with a place: the
    first is right for a cup of A, or for two cups of one kind.
    """

    name: Discrimination
    guess: Fraction
    cups: int
    directed: bool
    question: str
    standard: str
    said: tuple[str, str] | None = None

    @property
    def both_ways(self) -> bool:
        """Where a direction is named; and in A – not A, where A may be remembered as the other."""
        return self.directed or self.name == "A-not-A"

    def ask(self, attribute: str = "") -> str:
        return self.question.format(attribute=attribute)


METHOD_FACTS: dict[Discrimination, MethodFacts] = {
    "triangle": MethodFacts(
        "triangle", THIRD, 3, False, "Two cups are the same. Which is the odd one?", "ISO 4120"
    ),
    "tetrad": MethodFacts(
        "tetrad",
        THIRD,
        4,
        False,
        "Two cups are of one kind and two of another. Which cup goes with the first?",
        "Ennis & Jesionka 2011, J. Sens. Stud. 26:371 (from memory)",
    ),
    "three-cup": MethodFacts(
        "three-cup",
        THIRD,
        3,
        True,
        "Which cup has the most {attribute}?",
        "ISO 13301 (from memory)",
    ),
    "duo-trio": MethodFacts(
        "duo-trio", HALF, 3, False, "Which cup is the same as the reference?", "ISO 10399"
    ),
    "paired": MethodFacts("paired", HALF, 2, True, "Which cup has more {attribute}?", "ISO 5495"),
    "A-not-A": MethodFacts(
        "A-not-A", HALF, 1, False, "Is this cup A?", "ISO 8588", ("It is A", "It is not A")
    ),
    "same-different": MethodFacts(
        "same-different",
        HALF,
        2,
        False,
        "Are the two cups the same?",
        "ASTM E2139 (from memory)",
        ("The same", "Different"),
    ),
}


def name_of(method: Method) -> str:
    """The method's name at the head of a line."""
    return "A – not A" if method == "A-not-A" else method.capitalize()


def said(method: Method) -> tuple[str, str] | None:
    """The two words that a method is answered with; None where a place is chosen."""
    return None if method == "preference" else METHOD_FACTS[method].said


# How a trial is served (ISO 6658 leaves these to the panel leader; figures from memory).
SERVING_TEMP_C = (53.0, 57.0)
PAUSE_S = (30, 60)
MOST_TRIALS_A_SITTING = 2
PANEL = (6, 40)
