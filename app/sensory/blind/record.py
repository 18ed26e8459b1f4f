"""A blind test as it stands, and the words for its parts."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from app.sensory.blind.methods import METHOD_FACTS, SCOPES
from app.sensory.blind.sequential import Rule, reached
from app.sensory.terms import Claim, Discrimination, End, Letter, State

Panel = Literal["one taster", "one trial each", "several trials each"]

SUBJECTS: dict[Claim, str] = {
    "these cups": "these two cups",
    "these ways of brewing": "these two ways of brewing",
}
PANELS: dict[Panel, str] = {
    "one taster": "It is one taster's; others may taste it differently.",
    "one trial each": "Each taster gave one answer: it is about people like these taken together.",
    "several trials each": "Several answers a taster are pooled: it is about these tasters only.",
}
NOTICED: dict[Panel, tuple[str, str]] = {  # who notices a difference: by what, of whom
    "one taster": ("in", "trials"),
    "one trial each": ("by", "tasters"),
    "several trials each": ("in", "trials"),
}
SMALL_UNDER, LARGE_OVER = 0.25, 0.35  # of trials in which it is perceived (ISO 4120)


@dataclass(frozen=True)
class Record:
    """Counts up to the trial that settled the test, or up to now, under the rule set beforehand.

    `attribute` is the one named for a directed method, `more` the cup expected to have more of it;
    a right answer is one for that cup. `lost` answers of the n may be right or wrong, since their
    marks could not be read; they are not among the `correct`. `ended` is how the journal says that
    the test ended (stopped: the user gave up). `taster` is the name of the only one, if known.
    """

    method: Discrimination
    claim: Claim
    rule: Rule
    correct: int
    n: int
    panel: Panel = "one taster"
    attribute: str = ""
    ended: End | None = None
    more: Letter = "B"
    taster: str = ""
    lost: int = 0

    def __post_init__(self) -> None:
        if self.both_ways != self.rule.both_ways:  # it is the method that says so
            object.__setattr__(self, "rule", replace(self.rule, both_ways=self.both_ways))

    @property
    def guess(self) -> float:
        return float(METHOD_FACTS[self.method].guess)

    @property
    def directed(self) -> bool:
        return METHOD_FACTS[self.method].directed

    @property
    def both_ways(self) -> bool:
        return METHOD_FACTS[self.method].both_ways

    @property
    def state(self) -> State:
        """Where the rule puts the counts, whatever was stored."""
        return reached(self.rule, self.correct, self.n, self.lost)

    @property
    def other_way(self) -> bool:
        """Whether the counts lean away from what was named, or from what A is."""
        return self.both_ways and self.correct < self.guess * self.n

    @property
    def way(self) -> Letter:
        """The cup that the counts of a directed method say has more."""
        if self.other_way:
            return "A" if self.more == "B" else "B"
        return self.more

    @property
    def subject(self) -> str:
        return SUBJECTS[self.claim]

    @property
    def about(self) -> str:
        return f"{SCOPES[self.claim]} {PANELS[self.panel]}"

    @property
    def difference(self) -> str:
        of_what = f" in {self.attribute}" if self.attribute else ""
        return f"difference{of_what} between {self.subject}"

    def noticed(self, p_d: float) -> str:
        """How often such a difference is noticed, "in at least 2 trials of 5"."""
        by, units = NOTICED[self.panel]
        share = Fraction(p_d).limit_denominator(10)
        if abs(float(share) - p_d) > 1e-6:
            return f"{by} at least {percent(p_d)} of {units}"
        unit = units[:-1] if share.numerator == 1 else units
        return f"{by} at least {share.numerator} {unit} of {share.denominator}"


def panel_of(tasters: Sequence[int]) -> Panel:
    """Who gave the answers, from the taster of each."""
    if len(set(tasters)) <= 1:
        return "one taster"
    return "one trial each" if len(set(tasters)) == len(tasters) else "several trials each"


def size_of(p_d: float) -> str:
    """The name of a size: small, medium or large, as ISO 4120 has it."""
    if p_d < SMALL_UNDER:
        return "small"
    return "large" if p_d > LARGE_OVER else "medium"


def percent(share: float) -> str:
    """A share in whole per cent; beside 0 and 1 only what is 0 or 1 is written so."""
    if 0 < share < 0.005:
        return "under 1 %"
    return "over 99 %" if 0.995 <= share < 1 else f"{100 * share:.0f} %"


def figure(evidence_now: float) -> str:
    """An evidence value to three figures, without more than it can mean."""
    if evidence_now >= 1000:
        return "over 1000"
    return "below 0.01" if evidence_now < 0.01 else f"{evidence_now:.3g}"


def rough(value: float) -> str:
    """A value for a sentence: two figures."""
    if value >= 99.5:
        return "over 99"
    return "below 0.01" if value < 0.01 else f"{value:.2g}"
