"""From what is to be brewed to the clock of one cup or two, as the page and its script take it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NotRequired, TypedDict

from sqlalchemy.orm import Session

from app.brewing.along.timeline import Action, Timeline
from app.brewing.along.together import Together, together
from app.journal.recipes import revision
from app.journal.timelines import timeline_of
from app.models import Brewer
from app.models.recipes import Amounts
from app.sensory.terms import Letter
from app.web.formats import formats


@dataclass(frozen=True, slots=True)
class CupToBrew:
    """A cup as its form was filled in."""

    made: Amounts
    brewer_id: int | None = None
    revision_id: int | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """What is done at one time, at which cup: a row of the page, numbered within its cup."""

    letter: Letter
    number: int
    action: Action
    at_s: int


class ScriptStep(TypedDict):
    """A step as the page's script takes it; `scale` only where what is in by then is known."""

    kind: str
    starts: int
    ends: int
    hand: bool
    say: str
    scale: NotRequired[list[float]]


@dataclass(frozen=True, slots=True)
class AlongPlan:
    """The clock of one cup, or of two; seconds count from the first start of either."""

    cups: Mapping[Letter, Timeline]
    begins_s: Mapping[Letter, int]
    together: Together | None

    @property
    def rows(self) -> list[Row]:
        """All actions in the order of the clock."""
        rows = [
            Row(letter, number, action, self.begins_s[letter] + action.starts_s)
            for letter, line in self.cups.items()
            for number, action in enumerate(line.actions)
        ]
        return sorted(rows, key=lambda row: (row.at_s, row.letter))

    @property
    def for_script(self) -> dict[Letter, list[ScriptStep]]:
        """Each cup's steps with what its scale shows as they begin and end, in household units."""
        return {letter: self._of_script(letter) for letter in self.cups}

    def _of_script(self, letter: Letter) -> list[ScriptStep]:
        steps: list[ScriptStep] = []
        poured = 0.0
        for action in self.cups[letter].actions:
            starts = self.begins_s[letter] + action.starts_s
            step: ScriptStep = {
                "kind": action.kind,
                "starts": starts,
                "ends": starts + action.ends_s - action.starts_s,
                "hand": action.takes_a_hand,
                "say": in_words(action),
            }
            if action.poured_g:
                step["scale"] = [formats().shown(grams, "g") for grams in (poured, action.poured_g)]
                poured = action.poured_g
            steps.append(step)
        return steps


def plan_of(session: Session, cups: Mapping[Letter, CupToBrew]) -> AlongPlan:
    lines = {letter: _line(session, cup) for letter, cup in cups.items()}
    if len(lines) == 1:
        return AlongPlan(lines, dict.fromkeys(lines, 0), None)
    both = together(lines["A"], lines["B"])
    first = min(0, both.b_after_a_s)
    return AlongPlan(lines, {"A": -first, "B": both.b_after_a_s - first}, both)


def in_words(action: Action) -> str:
    """What to do, as "Pour 140 g, to 185 g"."""
    words = action.kind.capitalize()
    if action.grams:
        words += f" {formats().amount(action.grams, 'g', 0)}"
    if action.poured_g and action.poured_g != action.grams:
        words += f", to {formats().amount(action.poured_g, 'g', 0)}"
    return f"{words}: {action.note}" if action.note else words


def _line(session: Session, cup: CupToBrew) -> Timeline:
    of = revision(session, cup.revision_id) if cup.revision_id else None
    brewer = session.get(Brewer, cup.brewer_id) if cup.brewer_id else None
    return timeline_of(cup.made, brewer.kind if brewer else "", of)
