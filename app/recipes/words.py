"""A recipe's revision in words: its values, its steps, what changed, and where its sums disagree.

Changes are worked out from the values, so that none can be forgotten.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from itertools import pairwise, zip_longest

from app.formats import DASH, Formats
from app.models import RecipeRevision, Step

DIGITS = 9
POURED = ("bloom", "pour")
SUMS = (
    (POURED, "water_g", "The pours add up to", "brew water"),
    (("dilute",), "bypass_g", "The dilute steps add up to", "bypass water"),
    (("ice",), "ice_g", "The ice steps add up to", "ice"),
)
CLOSE_ENOUGH_G = 0.05


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that differs between two revisions; an empty side was not there."""

    term: str
    before: str
    after: str


@dataclass(frozen=True)
class RevisionWords:
    """Puts revisions into words in the household's formats; `brewers` are names by id."""

    formats: Formats
    brewers: Mapping[int | None, str]

    def values(self, revision: RecipeRevision) -> list[tuple[str, str | float | None, str]]:
        """(term, value, text) of each value, in the order of brewing."""
        r = revision
        brewer = self.brewers.get(r.brewer_id, "") if r.brewer_id else "any"
        return [
            ("Brewer", r.brewer_id, brewer),
            ("Dose", r.dose_g, self._amount(r.dose_g, "g")),
            ("Brew water", r.water_g, self._amount(r.water_g, "g")),
            ("Bypass water", r.bypass_g, self._amount(r.bypass_g or None, "g")),
            ("Ice", r.ice_g, self._amount(r.ice_g or None, "g")),
            ("Grind", r.grind, r.grind or DASH),
            ("Water temperature", r.water_temp_c, self._amount(r.water_temp_c, "°C")),
            ("Steep", r.steep_s, self.formats.clock(r.steep_s)),
            ("Press", r.press_s, self.formats.clock(r.press_s)),
            ("Stirs", r.stirs, self._amount(r.stirs, "")),
            ("Stands", r.flipped, "flipped" if r.flipped else "upright"),
        ]

    def step(self, step: Step) -> str:
        """Such as: pour 165 g at 0:45 for 0:20, in circles."""
        parts = [step.kind]
        if step.grams is not None:
            parts.append(self._amount(step.grams, "g"))
        if step.starts_s is not None:
            parts.append(f"at {self.formats.clock(step.starts_s)}")
        if step.lasts_s is not None:
            parts.append(f"for {self.formats.clock(step.lasts_s)}")
        return " ".join(parts) + (f", {step.note}" if step.note else "")

    def history(
        self, revisions: Sequence[RecipeRevision]
    ) -> list[tuple[RecipeRevision, list[Change] | None]]:
        """Each revision with what changed from the one before, newest first; None for the first."""
        history: list[tuple[RecipeRevision, list[Change] | None]] = [(revisions[0], None)]
        history += [(after, self.changes(before, after)) for before, after in pairwise(revisions)]
        return history[::-1]

    def changes(self, before: RecipeRevision, after: RecipeRevision) -> list[Change]:
        pairs = zip(self.values(before), self.values(after), strict=True)
        values = [Change(term, was, now) for (term, old, was), (_, new, now) in pairs if old != new]
        return values + self._step_changes(before.steps, after.steps)

    def _step_changes(self, before: list[Step], after: list[Step]) -> list[Change]:
        old, new = [_compared(step) for step in before], [_compared(step) for step in after]
        changes = []
        for same, i, i_end, j, j_end in SequenceMatcher(None, old, new, False).get_opcodes():
            if same == "equal":
                continue
            for was, now in zip_longest(before[i:i_end], after[j:j_end]):
                place = now.position if now else was.position
                sides = [self.step(step) if step else "" for step in (was, now)]
                changes.append(Change(f"Step {place}", *sides))
        return changes

    def disagreements(self, revision: RecipeRevision) -> list[str]:
        """Sentences on sums of steps that miss the amount they should make; a hint, no more."""
        sentences = []
        for kinds, column, start, amount in SUMS:
            grams = [step.grams for step in revision.steps if step.kind in kinds]
            total, wanted = sum(g for g in grams if g is not None), getattr(revision, column)
            # Steps without grams may hold the rest, so a sum that is short says nothing then.
            known = bool(grams) and (None not in grams or total > wanted)
            if known and abs(total - wanted) > CLOSE_ENOUGH_G:
                sentences.append(
                    f"{start} {self._amount(total, 'g')}, but the {amount} is "
                    f"{self._amount(wanted, 'g')}."
                )
        return sentences

    def _amount(self, value: float | None, unit: str) -> str:
        return self.formats.amount(value, unit, DIGITS).rstrip()


def _compared(step: Step) -> tuple[str, int | None, int | None, float | None, str]:
    return step.kind, step.starts_s, step.lasts_s, step.grams, step.note


def poured_by(revision: RecipeRevision) -> list[float | None]:
    """What the scale shows after each step of pouring; None where nothing known was poured."""
    shown: list[float | None] = []
    total: float | None = 0.0
    for step in revision.steps:
        if step.kind not in POURED:
            shown.append(None)
            continue
        total = None if total is None or step.grams is None else total + step.grams
        shown.append(total)
    return shown
