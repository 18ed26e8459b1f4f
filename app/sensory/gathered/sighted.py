"""Side by sides tasted sighted: whether the fair ones agree more than coin tosses would."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from app.sensory import ROUNDING
from app.sensory.blind.preference import evidence_either

HINT_AT = 3.0


@dataclass(frozen=True)
class Sighted:
    """A saved side by side whose taster knew the cups and said which they prefer.

    It is `fair` where only one thing differs, the one asked about. `contrast` names the two things
    compared, the same whichever cup was A; `favours` the one preferred, empty for neither.
    """

    fair: bool
    contrast: str = ""
    favours: str = ""


def agreement(sighted: Sequence[Sighted]) -> str:
    """A sentence on the fair ones of one contrast that agree; empty where they make no hint.

    A hint is a two-sided e-value of 3 against a coin, which a coin ever reaches in at most 1 case
    in 3: 4 of 4 reach it, and 7 of 8. Those without a preference do not count.
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
