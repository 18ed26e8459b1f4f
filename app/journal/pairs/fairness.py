"""Whether two brews make a fair test: how many things that somebody sets differ between them.

The rule is our own. Numbers closer than their tolerance count as the same. A difference that
follows from another is named but not counted: the ratio follows the dose, the press time a finer
grind. What was noted for one brew only cannot be compared, and is named too; so is what is worth a
note and has none in either.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import isclose
from typing import Literal

from app.brewing.tolerances import TOLERANCES
from app.journal.pairs.setup import FOLLOWS, LABELS, WORTH_NOTING, Setup

State = Literal["same", "close", "alike", "differs", "follows", "unknown", "blank"]
Verdict = Literal["repeat", "one", "several"]

SAME_PROPORTION = 0.02
NOT_NOTED: tuple[object, ...] = (None, "", ())
NEAR = {"same", "close", "alike", "blank"}
ASIDES: dict[State, str] = {
    "follows": "Differs too, but may come with that",
    "close": "Not quite the same, but within the tolerance",
    "unknown": "Noted for one of the two only, so it cannot be told",
}


@dataclass(frozen=True, slots=True)
class Fairness:
    """The state of each field of Setup, and what follows for the comparison.

    `not_noted` names what is worth a note and has none in either brew.
    """

    states: Mapping[str, State]
    not_noted: Sequence[str] = ()

    def named(self, state: State) -> list[str]:
        return [label for name, label in LABELS.items() if self.states[name] == state]

    @property
    def verdict(self) -> Verdict:
        count = len(self.named("differs"))
        return "repeat" if count == 0 else "one" if count == 1 else "several"

    @property
    def sentence(self) -> str:
        """The verdict, and why it may rest on two brewers."""
        alike = " The two brewers are alike and count as one." if self.named("alike") else ""
        return self._verdict_said + alike

    @property
    def _verdict_said(self) -> str:
        causes, blank = self.named("differs"), self.not_noted
        known = "As far as was noted for both, " if self.named("unknown") or blank else ""
        rest = f" Nothing else was noted: {listed(blank)} may differ as well." if blank else ""
        if not causes:
            scatter = " Any difference in taste is the scatter between cups of one recipe."
            return _capital(
                f"{known}nothing differs beyond the tolerance: a repeat.{rest or scatter}"
            )
        if len(causes) == 1:
            return _capital(f"{known}a fair test: one thing differs, the {causes[0]}.{rest}")
        return (
            f"Not a fair test: {len(causes)} things differ ({listed(causes)}), so no single "
            "cause can be named."
        )

    @property
    def asides(self) -> list[str]:
        """A sentence for each kind of difference that is named but not counted."""
        return [
            f"{words}: {listed(names)}."
            for state, words in ASIDES.items()
            if (names := self.named(state))
        ]


def compare(a: Setup, b: Setup) -> Fairness:
    """The state of each field between two brews; swapping them changes nothing."""
    raw = {name: _state(name, getattr(a, name), getattr(b, name)) for name in LABELS}
    if a.bag_id != b.bag_id and not (a.roast_noted and b.roast_noted):
        raw["age_days"] = "unknown" if a.roast_noted or b.roast_noted else "blank"
    if raw["first_brewer_id"] == "same":
        raw["first_brewer_id"] = _state("brewer_id", a.brewer_id, b.brewer_id)
    differing = {name for name, state in raw.items() if state == "differs"}
    states: dict[str, State] = {}
    for name, state in raw.items():
        follows = bool(differing.intersection(FOLLOWS.get(name, ())))
        if state == "differs" and (follows or _in_proportion(name, a, b, differing)):
            state = "follows"
        elif state == "unknown" and follows:
            state = "blank"
        states[name] = state
    return Fairness(states, [LABELS[name] for name in WORTH_NOTING if raw[name] == "blank"])


def agrees(a: Setup, b: Setup) -> bool:
    """Whether two brews are repeats: all that was noted agrees, and the same things were noted."""
    return all(
        ours == theirs or _state(name, ours, theirs) in NEAR
        for name, ours, theirs in zip(Setup._fields, a, b, strict=True)
    )


def listed(words: Sequence[str]) -> str:
    """a; a and b; a, b and c."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def _capital(sentence: str) -> str:
    return sentence[:1].upper() + sentence[1:]


def _state(name: str, ours: object, theirs: object) -> State:
    if ours == theirs:
        return "blank" if ours in NOT_NOTED else "same"
    if name == "brewer_id":
        return "alike"
    if ours in NOT_NOTED or theirs in NOT_NOTED:
        # A brew without recipe steps, or with a metal filter, has none to compare.
        return "blank" if name in ("steps", "use") else "unknown"
    if isinstance(ours, str) and isinstance(theirs, str):
        return "same" if name == "grind_setting" and _same_setting(ours, theirs) else "differs"
    if isinstance(ours, int | float) and isinstance(theirs, int | float):
        return "close" if _is_near(name, ours, theirs) else "differs"
    return "differs"


def _is_near(name: str, ours: float, theirs: float) -> bool:
    """Within the tolerance; of a filter's uses, two neighbours after the first."""
    if name == "use":
        return min(ours, theirs) > 1 and abs(ours - theirs) == 1
    tolerance = TOLERANCES.get(name)
    return tolerance is not None and abs(ours - theirs) <= tolerance + 1e-9


def _same_setting(ours: str, theirs: str) -> bool:
    """14 and 14.0 are the same setting, and so are 14,5 and 14.5."""
    try:
        return float(ours.replace(",", ".")) == float(theirs.replace(",", "."))
    except ValueError:
        return ours.casefold().split() == theirs.casefold().split()


def _in_proportion(name: str, a: Setup, b: Setup, differing: set[str]) -> bool:
    """More coffee with as much more water is one difference: the dose."""
    if name not in ("water_g", "bypass_g", "ice_g") or "dose_g" not in differing:
        return False
    ours, theirs = getattr(a, name) / a.dose_g, getattr(b, name) / b.dose_g
    return isclose(ours, theirs, rel_tol=SAME_PROPORTION)
