"""Side by sides tasted sighted: whether the fair ones agree more than coin tosses would."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import prod

from app.sensory import ROUNDING
from app.sensory.blind.preference import evidence_either

HINT_AT = 3.0


@dataclass(frozen=True)
class Sighted:
    """A saved side by side whose taster knew the cups and said which they prefer.

    It is `fair` where only one thing differs, the one asked about. `contrast` names the two things
    compared, the same whichever cup was A; `favours` the one preferred, empty for neither. `brews`
    are the two compared, where known; `gone` ones are in the bin, and still count.
    """

    fair: bool
    contrast: str = ""
    favours: str = ""
    brews: frozenset[int] = frozenset()
    gone: bool = False


@dataclass(frozen=True)
class Contrast:
    """Fair side by sides of one contrast: `most` of n went to `favoured`, against a coin.

    `shared` were left out, since one of their brews had been compared before: its luck is in all of
    them, and no coin is tossed anew.
    """

    name: str
    favoured: str
    most: int
    n: int
    shared: int

    @property
    def evidence(self) -> float:
        """The two-sided e-value."""
        return evidence_either(self.most, self.n)

    @property
    def agrees(self) -> bool:
        return self.evidence >= HINT_AT - ROUNDING

    @property
    def sentence(self) -> str:
        left_out = f" {self.shared} more shared a brew with these." if self.shared else ""
        return (
            f"{self.most} of {self.n} fair side by sides, all sighted, went the same way "
            f"({self.name}: {self.favoured} preferred).{left_out}"
        )


def contrasts(sighted: Sequence[Sighted]) -> list[Contrast]:
    """The contrasts with a preference among the fair ones, given in the order of time."""
    counts: dict[str, Counter[str]] = {}
    shared: Counter[str] = Counter()
    seen: set[int] = set()
    for pair in sighted:
        if not (pair.fair and pair.favours):
            continue
        if pair.brews & seen:
            shared[pair.contrast] += 1
        else:
            counts.setdefault(pair.contrast, Counter())[pair.favours] += 1
        seen |= pair.brews
    return [
        Contrast(name, *of.most_common(1)[0], of.total(), shared[name])
        for name, of in counts.items()
    ]


def multiplied(found: Sequence[Contrast]) -> float:
    """The e-values of all contrasts together: where none matters, each is coins of its own."""
    return prod(contrast.evidence for contrast in found)
