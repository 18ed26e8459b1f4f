"""Sentences that keep the amounts in them apart, so that a page can write them in other units."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Amount:
    """A value in the unit it was worked out in, with at most ``digits`` after the point.

    ``fixed`` writes just so many; ``bare`` leaves the unit out: the first of "from 1 to 5 g".
    """

    value: float
    unit: str = ""
    digits: int = 1
    fixed: bool = False
    bare: bool = False

    def __str__(self) -> str:
        text = f"{self.value:.{self.digits}f}"
        if self.digits and not self.fixed:
            text = text.rstrip("0").rstrip(".")
        return text if self.bare or not self.unit else f"{text} {self.unit}"


class Said(str):
    """A sentence: "{}" in ``template`` stands for each of ``parts``. As text it is in SI units."""

    template: str
    parts: tuple[Amount | str, ...]

    def __new__(cls, template: str, *parts: Amount | str) -> Said:
        said = super().__new__(cls, template.format(*parts))
        said.template, said.parts = template, parts
        return said

    def written(self, write: Callable[[Amount], str]) -> str:
        """The sentence with its amounts written by ``write``."""
        return self.template.format(
            *(write(part) if isinstance(part, Amount) else part for part in self.parts)
        )
