"""Sentences that remember the amounts in them, so that a page can write these in other units."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Self


@dataclass(frozen=True, slots=True)
class Amount:
    """A value in the unit it was calculated in, written with at most ``digits`` decimals.

    ``fixed`` writes exactly so many; ``bare`` leaves the unit out, as for the 1 of "from 1 to 5 g".
    ``figures`` is how many figures count in whatever unit it is written.

    >>> str(Amount(12.50, "g")), str(Amount(12.50, "g", 2, fixed=True)), str(Amount(238, figures=2))
    ('12.5 g', '12.50 g', '240')
    """

    value: float
    unit: str = ""
    digits: int = 1
    fixed: bool = False
    bare: bool = False
    figures: int = 0

    def rounded(self, value: float) -> float:
        """The value, here or in another unit, with no more figures than count."""
        return float(f"{value:.{self.figures - 1}e}") if self.figures else value

    def __str__(self) -> str:
        text = f"{self.rounded(self.value):.{self.digits}f}"
        if self.digits and not self.fixed:
            text = text.rstrip("0").rstrip(".")
        return text if self.bare or not self.unit else f"{text} {self.unit}"


class Sentence(str):
    """A sentence whose ``template`` has one "{}" for each of ``parts``; as a str it is in SI units.

    >>> pour = Sentence("Pour {} now.", Amount(60.0, "g"))
    >>> pour
    'Pour 60 g now.'
    >>> pour.written(lambda amount: f"{amount.value / 28.35:.2f} oz")
    'Pour 2.12 oz now.'
    """

    template: str
    parts: tuple[Amount | str, ...]

    def __new__(cls, template: str, *parts: Amount | str) -> Self:
        sentence = super().__new__(cls, template.format(*parts))
        sentence.template, sentence.parts = template, parts
        return sentence

    def written(self, write: Callable[[Amount], str]) -> str:
        """The sentence with its amounts written by ``write``."""
        return self.template.format(
            *(write(part) if isinstance(part, Amount) else part for part in self.parts)
        )
