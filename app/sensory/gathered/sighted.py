"""Side by sides tasted with open eyes: whether the fair ones agree more than a coin would."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from app.sensory.blind.preference import evidence_either

HINT_AT = 3.0
ROUNDING = 1e-9


@dataclass(frozen=True)
class Sighted:
    """A saved side by side in which somebody who knew the cups said what they prefer.

    `fair`: one thing differs, the one asked about. `contrast` is what was set against what, the
    same whichever cup was A; `favours` the side of it that was preferred, empty for neither.
    """

    fair: bool
    contrast: str = ""
    favours: str = ""


def agreement(sighted: Sequence[Sighted]) -> str:
    """What the fair ones of one contrast say together; empty below the line of a hint.

    The line: an e-value of 3 against a coin, two-sided, which a coin ever reaches in at most
    1 case in 3. 4 of 4 reach it, and 7 of 8. Those without a preference carry no weight.
    """
    contrasts: dict[str, Counter[str]] = {}
    for pair in sighted:
        if pair.fair and pair.favours:
            contrasts.setdefault(pair.contrast, Counter())[pair.favours] += 1
    for contrast, counts in contrasts.items():
        (favoured, most), n = counts.most_common(1)[0], counts.total()
        if evidence_either(most, n) >= HINT_AT - ROUNDING:
            return (
                f"{most} of {n} fair side by sides, all sighted, went the same way ({contrast}: "
                f"{favoured} preferred)."
            )
    return ""
