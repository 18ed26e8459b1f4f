"""Just-right answers: said in words, and how many were too little, right and too much.

Scales of this kind are reported as shares of the answers below, at and above "just right" (ASTM
MNL63, Just-About-Right Scales, 2009; from memory). Nothing is tested here: these are counts.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from app.sensory.scores.scales import JUST_RIGHT, JUST_RIGHT_ATTRIBUTES, JUST_RIGHT_LABELS

Answers = Mapping[str, int | None]
IN_TURN = (3, 2, 1, 4, 5)  # what was right, then too little, then too much


def in_words(answers: Answers) -> str:
    """Such as "Just right: body. A little too much: acidity."; empty without any answer."""
    said = []
    for step in IN_TURN:
        names = [name for name in JUST_RIGHT_ATTRIBUTES if answers.get(name) == step]
        if names:
            said.append(f"{JUST_RIGHT_LABELS[step].capitalize()}: {', '.join(names)}.")
    return " ".join(said)


@dataclass(frozen=True, slots=True)
class Shares:
    """How many cups had too little of an attribute, the right amount, or too much."""

    attribute: str
    too_little: int
    right: int
    too_much: int

    @property
    def answers(self) -> int:
        return self.too_little + self.right + self.too_much


def shares(of_cups: Iterable[Answers]) -> list[Shares]:
    """Each attribute that was answered for at least one cup, in the order of the form."""
    cups = list(of_cups)
    found = []
    for name in JUST_RIGHT_ATTRIBUTES:
        steps = [step for answers in cups if (step := answers.get(name)) is not None]
        if steps:
            low, high = (
                sum(step < JUST_RIGHT for step in steps),
                sum(step > JUST_RIGHT for step in steps),
            )
            found.append(Shares(name, low, len(steps) - low - high, high))
    return found
