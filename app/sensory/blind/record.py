"""A blind test as it stands, and the words for its parts."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from app.sensory.blind.discrimination import perceived_share
from app.sensory.blind.methods import METHOD_FACTS, SCOPES
from app.sensory.blind.sequential import Rule
from app.sensory.terms import Claim, Discrimination

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
PERCEIVED: dict[Panel, str] = {
    "one taster": "in {} of trials",
    "one trial each": "by {} of such tasters",
    "several trials each": "in {} of their trials",
}


@dataclass(frozen=True)
class Record:
    """Counts up to the trial that settled the test, or up to now, under the rule set beforehand.

    `attribute` is the one named for a directed method; `stopped` says that the user gave up.
    """

    method: Discrimination
    claim: Claim
    rule: Rule
    correct: int
    n: int
    panel: Panel = "one taster"
    attribute: str = ""
    stopped: bool = False

    @property
    def guess(self) -> float:
        return float(METHOD_FACTS[self.method].guess)

    @property
    def count(self) -> str:
        return f"{self.correct} of {self.n} right"

    @property
    def about(self) -> str:
        return f"{SCOPES[self.claim]} {PANELS[self.panel]}"

    @property
    def difference(self) -> str:
        of_what = f" in {self.attribute}" if self.attribute else ""
        return f"difference{of_what} between {SUBJECTS[self.claim]}"

    @property
    def direction(self) -> str:
        """What narrows "a difference" in a directed method."""
        return " in the direction named" if METHOD_FACTS[self.method].directed else ""

    def perceived(self, amount: str, p_d: float) -> str:
        """How often it is perceived, as "in up to 40 % of trials"."""
        share = percent(p_d)
        words = f"{share} {amount}" if amount == "or more" else f"{amount} {share}"
        return PERCEIVED[self.panel].format(words)

    def p_d(self, p_c: float) -> float:
        return perceived_share(p_c, self.guess)


def panel_of(tasters: Sequence[int]) -> Panel:
    """Who gave the answers, from the taster of each."""
    if len(set(tasters)) <= 1:
        return "one taster"
    return "one trial each" if len(set(tasters)) == len(tasters) else "several trials each"


def percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def figure(evidence_now: float) -> str:
    """An evidence value to three figures, without more than it can mean."""
    if evidence_now >= 1000:
        return "over 1000"
    return "below 0.01" if evidence_now < 0.01 else f"{evidence_now:.3g}"
