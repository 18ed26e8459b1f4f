"""What a household lets out beyond the question and its answer: each by a tick of its own."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Self

LABELS = {
    "beans": "Names of beans and roasters, origin and process in full",
    "gear": "Names of gear, filters, waters and recipes",
    "tasters": "Names of tasters",
    "cups": "Our words for cups A and B of blind tests, and for what they were tasted for",
    "notes": "Notes, and titles of blind tests",
}
OUT = {
    "beans": "names of beans and roasters",
    "gear": "names of gear, filters, waters and recipes",
    "tasters": "names of tasters",
    "cups": "our words for the cups of blind tests",
    "notes": "notes and titles",
}
ALWAYS_OUT = "photos, dates and row numbers"


@dataclass(frozen=True, slots=True)
class Ticks:
    """The ticks live in the address; nothing of them is stored."""

    beans: bool = False
    gear: bool = False
    tasters: bool = False
    cups: bool = False
    notes: bool = False

    @classmethod
    def of(cls, args: Mapping[str, str]) -> Self:
        return cls(**{name: args.get(name) == "1" for name in LABELS})

    @property
    def args(self) -> dict[str, str]:
        """The ticked ones, as an address has them."""
        return {name: "1" for name, ticked in asdict(self).items() if ticked}

    @property
    def left_out(self) -> str:
        """One line on what does not go out."""
        out = [words for name, words in OUT.items() if not getattr(self, name)]
        return f"Left out: {'; '.join([*out, ALWAYS_OUT])}."
