"""From what is to be brewed to the clock of one cup or two, as the page and its script take it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NotRequired, TypedDict

from sqlalchemy.orm import Session

from app.brewing.along.timeline import Action, Brewed, Planned, Timeline, timeline
from app.brewing.along.together import Together, together
from app.journal.recipes import revision
from app.models import Brewer, RecipeRevision
from app.models.recipes import Amounts
from app.sensory.terms import Letter
from app.web.formats import formats

PRESSED = {"pressed immersion"}


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
    made = cup.made
    brew = Brewed(
        water_g=made.water_g,
        bypass_g=made.bypass_g,
        ice_g=made.ice_g,
        steep_s=made.steep_s,
        press_s=made.press_s,
        stirs=made.stirs,
        is_pressed=brewer is not None and brewer.kind in PRESSED,
        is_flipped=made.flipped,
    )
    return timeline(_steps(of, made) if of else [], brew)


def _steps(of: RecipeRevision, made: Amounts) -> Sequence[Planned]:
    """The recipe's steps, with this cup's amounts and its own steep and press times."""
    more = (made.steep_s or 0) - (of.steep_s or 0) if made.steep_s and of.steep_s else 0
    share = {
        "bloom": made.water_g / of.water_g,
        "pour": made.water_g / of.water_g,
        "dilute": made.bypass_g / of.bypass_g if of.bypass_g else 1.0,
        "ice": made.ice_g / of.ice_g if of.ice_g else 1.0,
    }
    steps, shift = [], 0
    for step in of.steps:
        shift = more if step.kind == "press" else shift
        lasts = step.lasts_s
        if step.kind == "press" and made.press_s is not None:
            lasts = made.press_s
        if step.kind == "steep" and lasts is not None:
            lasts = max(0, lasts + more - shift)
        steps.append(
            Planned(
                kind=step.kind,
                starts_s=None if step.starts_s is None else max(0, step.starts_s + shift),
                lasts_s=lasts,
                grams=None if step.grams is None else step.grams * share.get(step.kind, 1.0),
                note=step.note,
            )
        )
        shift = more if step.kind == "steep" else shift
    return steps
