"""At the table: which cup gets what, what to brew for it, how it is tasted, and what is lifted."""

from dataclasses import dataclass
from typing import NamedTuple

from app.blind.cups import Cups
from app.formats import JOINED
from app.journal.blind.keys import REFERENCE, marked, place_names
from app.journal.blind.open import OpenTrial
from app.journal.blind.sealed import Key
from app.models import BlindTest
from app.sensory.blind.methods import PAUSE_S, SERVING_TEMP_C
from app.sensory.terms import LETTERS
from app.web.formats import formats

GRAMS_A_CUP = 40
HOT = (
    "Fresh coffee scalds within seconds. Let all cups come down to {} together, check one with a "
    "thermometer before sipping, pour small and keep the tray level."
)
LOST_COUNT = (
    "If you know which cup is where before answering, void the trial: the result is only worth "
    "something if you lost count. The page cannot see that, nor the mark you read."
)


class Place(NamedTuple):
    """Where a cup stands, in words, and its code (none for solo)."""

    name: str
    code: str


class PouredCup(NamedTuple):
    """A place or mark in words, its code (may be empty), and what is poured there."""

    name: str
    code: str
    cup: str


@dataclass(frozen=True)
class ServingCard:
    """What the pourer of a trial needs: which cup gets what, and what to brew."""

    rows: list[PouredCup]
    to_brew: str
    amounts: str


@dataclass(frozen=True)
class Serving:
    """How cups are served and tasted; `pause_s` is the shortest and longest pause, in seconds."""

    temperature: str
    caution: str
    pause_s: tuple[int, int]


def named_places(test: BlindTest, trial: OpenTrial) -> dict[int, Place]:
    """The places of a trial by their number, from left to right."""
    solo = trial.pouring == "solo"
    codes = trial.codes.split() or [""] * 4
    return {
        number: Place(name, "" if name == REFERENCE else codes[number - 1])
        for number, name in place_names(test.method, solo).items()
    }


def how_to_taste(test: BlindTest, trial: OpenTrial) -> str:
    """What to do with the cups before answering, the pause left out."""
    if test.method != "A-not-A":
        ring = trial.pouring == "solo" and test.method in ("triangle", "three-cup")
        start = "the nearest cup round the ring" if ring else "left to right"
        return f"Taste from {start}; going back is allowed, and so is spitting out."
    cup = f"the cup {trial.codes}" if trial.codes else "the cup on the left of the tray"
    if trial.pouring == "coded":
        cup = f"what is coded {trial.codes}, brewed now if it was not brewed before"
    if test.reminder:
        return f"Taste the cup known to be A first, then {cup}; going back is allowed."
    return f"Taste {cup}. Only this one: nothing is compared but what you remember of A."


def cup_to_lift(test: BlindTest, trial: OpenTrial) -> str:
    """Under which cup the mark is read, in words."""
    if test.method == "A-not-A":
        return "the cup you tasted (left)"
    if not trial.answer:  # no preference
        return f"the cup you tasted first ({named_places(test, trial)[1].name})"
    return f"the cup you chose ({named_places(test, trial)[trial.answer].name})"


def poured(test: BlindTest, trial: OpenTrial, key: Key) -> list[PouredCup]:
    """What is poured where; in a control B is a second A."""
    if trial.pouring == "solo":
        marks = marked(test.method, key.cups).items()
        tasted = trial.lifted if test.method == "A-not-A" else None
        cups = [
            PouredCup(f"mark {mark}{', tasted' if mark == tasted else ''}", "", cup)
            for mark, cup in marks
        ]
        first = [PouredCup("reference, beside the tray", "", key.cups[0])]
        return first + cups if test.method == "duo-trio" else reminder(test) + cups
    b = "B"
    if key.is_control:
        b = "A, second brew" if test.brewing == "fresh pair each trial" else "A"
    places = named_places(test, trial).values()
    cups = [
        PouredCup(*place, "A" if cup == "A" else b)
        for place, cup in zip(places, key.cups, strict=True)
    ]
    return reminder(test) + cups


def reminder(test: BlindTest) -> list[PouredCup]:
    """The cup known to be A that is tasted first, where the plan has one."""
    return [PouredCup("reminder, tasted first", "", "A")] if test.reminder else []


def serving_card(test: BlindTest, trial: OpenTrial, key: Key, cups: Cups) -> ServingCard:
    rows, grams = poured(test, trial, key), formats().grams
    kinds = [row.cup for row in rows]
    of_each = [f"{grams(kinds.count(k) * GRAMS_A_CUP)} of {k}" for k in dict.fromkeys(kinds)]
    amounts = f"{grams(GRAMS_A_CUP)} in each cup: {' and '.join(of_each)} in all."
    return ServingCard(rows, _to_brew(test, key, cups), amounts)


def _to_brew(test: BlindTest, key: Key, cups: Cups) -> str:
    """What to brew for this trial, and in which order."""
    a, b = (f"{letter} ({cups[letter].words})" for letter in LETTERS)
    if test.brewing == "one pair":
        return "Pour from the two brews of this test."
    if test.method == "A-not-A" and test.pouring != "solo":
        return _to_brew_one(test, key, a, b)
    if test.brewing == "every cup its own":
        return "Brew every cup by itself, one after the other in the order of this list."
    if key.is_control:
        return f"Brew {a} twice. This trial is A against A; the taster must not know."
    first, then = (a, b) if key.brewed_first != "B" else (b, a)
    return f"Brew both afresh: {first} first, then {then}. The order is drawn by lot."


def _to_brew_one(test: BlindTest, key: Key, a: str, b: str) -> str:
    """What to brew where one coded cup is tasted."""
    this = a if key.cups == "A" else b
    if test.brewing == "fresh pair each trial":
        first, then = (a, b) if key.brewed_first != "B" else (b, a)
        order = f"Brew both afresh: {first} first, then {then}. The order is drawn by lot."
        return f"{order} Serve {key.cups} only."
    if test.reminder:
        return (
            f"Brew {a} for the reminder, and the coded cup by itself: A again."
            if key.cups == "A"
            else f"Brew {a} for the reminder, and {b} for the coded cup."
        )
    return f"Brew one cup: {this}."


def serving() -> Serving:
    """Temperatures in the household's unit."""
    low, high = (formats().shown(bound, "°C") for bound in SERVING_TEMP_C)
    temperature = f"{low:.0f}–{high:.0f}{JOINED}{formats().unit('°C')}"
    return Serving(temperature, HOT.format(temperature), PAUSE_S)
