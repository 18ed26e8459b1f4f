"""The vocabulary of blind tests, each word written once: what a plan may choose, how a test stands.

The journal stores these words, so a new one needs a migration.
"""

from typing import Literal, get_args

# A method asks for the right answer, but for a preference, which has none.
Discrimination = Literal[
    "triangle", "tetrad", "three-cup", "duo-trio", "paired", "A-not-A", "same-different"
]
Method = Literal[Discrimination, "preference"]
Claim = Literal["these cups", "these ways of brewing"]
Brewing = Literal["one pair", "fresh pair each trial", "every cup its own"]
Pouring = Literal["helper", "solo", "coded"]
RuleName = Literal["every morning", "fixed number", "step by step"]
Letter = Literal["A", "B"]
End = Literal["shown", "close enough", "undecided", "stopped"]
State = Literal["open", End]
Mark = Literal["0", "1", "2", "3"]

METHODS: tuple[Method, ...] = get_args(Method)
CLAIMS: tuple[Claim, ...] = get_args(Claim)
BREWINGS: tuple[Brewing, ...] = get_args(Brewing)
POURINGS: tuple[Pouring, ...] = get_args(Pouring)
RULES: tuple[RuleName, ...] = get_args(RuleName)
LETTERS: tuple[Letter, ...] = get_args(Letter)
ENDS: tuple[End, ...] = get_args(End)
MARKS: tuple[Mark, ...] = get_args(Mark)
MARK_LOST: Mark = "0"


def letter_or_none(text: str | None) -> Letter | None:
    """A or B as a browser sent it; None for anything else."""
    return next((letter for letter in LETTERS if letter == text), None)
