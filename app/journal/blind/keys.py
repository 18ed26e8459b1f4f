"""Which cup is which: places, marks, and whether an answer was right.

Poured by somebody else (or into coded vessels), a trial's cups are sealed by place, from left to
right. Poured solo they are sealed by the mark under each cup: the tool draws which mark gets
which brew, and turning the tray with closed eyes draws the place. Without a difference the place
chosen does not depend on how the tray came to stand, so the mark under it is right as often as
guessing is, whatever was poured and whatever the hands remember. This requires a taster who lost
count of the turns and reports the mark as it is; the tool can check neither and says so. The
place is stored first, so that lifting the cup cannot change it.

Four cups in a ring keep their neighbours when the tray turns: whoever poured them would know
which can belong together. A tetrad is therefore not poured solo; nor is a pair that may be of one
kind, since its pourer knows whether it is. Of A – not A both cups stand on the tray and one is
tasted, which one the turn has drawn.
"""

from collections import Counter
from typing import cast

from app.journal.blind.sealed import FinishedTrial
from app.sensory.blind.preference import Choice
from app.sensory.blind.serving import key_of, places
from app.sensory.terms import MARK_LOST, Letter, Mark, Method, Pouring

PLACE_NAMES = {2: ("left", "right"), 3: ("left", "middle", "right")}
RING_NAMES = ("nearest", "far left", "far right")
FOUR_NAMES = ("first", "second", "third", "fourth")
REFERENCE = "reference"
ONE_CUP = "the cup"


def place_names(method: Method, solo: bool) -> dict[int, str]:
    """Every place by its number from 1, in words; the first of a duo-trio is the reference."""
    if method == "duo-trio":
        return {1: REFERENCE, 2: "left", 3: "right"}
    if method == "tetrad":
        return dict(enumerate(FOUR_NAMES, 1))
    if method == "A-not-A" and not solo:
        return {1: ONE_CUP}
    cups = 3 if method in ("triangle", "three-cup") else 2
    names = RING_NAMES if solo and cups == 3 else PLACE_NAMES[cups]
    return dict(enumerate(names, 1))


def answers(method: Method) -> tuple[int, ...]:
    """The places that may be chosen, from 1."""
    return tuple(place + 1 for place in places(method))


def marked(method: Method, cups: str) -> dict[str, Letter]:
    """What is in the cup over each mark; an open reference has no mark."""
    on_tray = cups[1:] if method == "duo-trio" else cups
    return {str(mark): cup for mark, cup in enumerate(letters(on_tray), 1)}


def is_right(method: Method, more: Letter | None, trial: FinishedTrial) -> bool:
    """Whether the answer of a finished trial is right; a lost mark is wrong."""
    if method == "A-not-A":
        held = tasted_cup(trial.pouring, trial.cups, trial.lifted)
        return held is not None and (held == "A") == (trial.answer == 1)
    if trial.pouring != "solo":
        return key_of(method, letters(trial.cups), more or "B") == trial.answer - 1
    if trial.lifted in (None, MARK_LOST):
        return False
    under = marked(method, trial.cups)[trial.lifted]
    if method == "triangle":
        return Counter(trial.cups)[under] == 1
    wanted = trial.cups[0] if method == "duo-trio" else more
    return under == wanted


def tasted_cup(pouring: Pouring, cups: str, lifted: Mark | None) -> Letter | None:
    """What the coded cup of an A – not A trial held; None if its mark was lost or not read yet."""
    if pouring != "solo":
        return letters(cups)[0]
    return marked("A-not-A", cups).get(lifted or MARK_LOST)


def choice_of(trial: FinishedTrial) -> Choice | None:
    """The cup preferred in a finished trial and the one tasted first; None if a mark was lost."""
    if trial.pouring != "solo":
        cups = letters(trial.cups)
        return Choice(cups[trial.answer - 1] if trial.answer else None, cups[0])
    if trial.lifted in (None, MARK_LOST):
        return None
    under = marked("preference", trial.cups)[trial.lifted]
    if not trial.answer:
        return Choice(None, under)
    other: Letter = "B" if under == "A" else "A"
    return Choice(under, under if trial.answer == 1 else other)


def letters(cups: str) -> tuple[Letter, ...]:
    """The cups of a sealed key, such as ABA."""
    return cast(tuple[Letter, ...], tuple(cups))
