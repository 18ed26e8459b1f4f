"""The forms a blind test can take, as plain facts: cups, question, and what guessing gets."""

from dataclasses import dataclass
from fractions import Fraction

from app.sensory.terms import Claim, Discrimination

SCOPES: dict[Claim, str] = {
    "these cups": "It is about these two brews; another pair from the same recipes may differ.",
    "these ways of brewing": "It is about these ways of brewing as done here, with this bag.",
}

THIRD, HALF = Fraction(1, 3), Fraction(1, 2)


@dataclass(frozen=True)
class MethodFacts:
    """One form of trial; `guess` is the share of right answers that guessing gets.

    `directed` methods need an attribute named beforehand, and which of the two has more of it.
    """

    name: Discrimination
    guess: Fraction
    cups: int
    directed: bool
    question: str
    standard: str

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
}

# How a trial is served (ISO 6658 leaves these to the panel leader; figures from memory).
SERVING_TEMP_C = (53.0, 57.0)
PAUSE_S = (30, 60)
MOST_TRIALS_A_SITTING = 2
PANEL = (6, 40)
