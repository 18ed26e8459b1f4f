"""The words of blind tests: what each choice means, and what to do at the table."""

from dataclasses import dataclass
from math import log
from typing import NamedTuple

from app.blind.cups import Cups
from app.journal.blind.keys import REFERENCE, choice_of, is_right, marked, place_names, tasted_cup
from app.journal.blind.open import OpenTrial
from app.journal.blind.sealed import FinishedTrial, Key
from app.journal.blind.standing import Standing
from app.models import BlindTest
from app.sensory.blind.evalue import CLOSE_AT, SHOWN_AT
from app.sensory.blind.methods import METHOD_FACTS, PAUSE_S, SERVING_TEMP_C
from app.sensory.blind.record import figure
from app.sensory.terms import LETTERS, MARK_LOST, Brewing, Claim, Letter, Method, Pouring, RuleName
from app.web.formats import formats

CLAIMS: dict[Claim, str] = {
    "these cups": "These cups\nThat the two brews on the table taste different",
    "these ways of brewing": "These ways of brewing\nThat the two recipes or filters do, each "
    "time they are brewed",
}
BREWINGS: dict[Brewing, str] = {
    "one pair": "One brew of each\nAll cups are poured from two brews",
    "fresh pair each trial": "Fresh for every trial\nA and B are brewed anew, the order drawn",
    "every cup its own": "Every cup by itself\nEach cup is a brew of its own",
}
METHODS: dict[Method, str] = {
    "triangle": "Triangle\nThree cups, two the same: which is odd?",
    "paired": "Paired\nTwo cups: which has more of something you name?",
    "three-cup": "Three cups\nWhich one has the most of something you name?",
    "duo-trio": "Duo-trio\nA reference and two cups: which is the same?",
    "tetrad": "Tetrad\nFour cups, two and two: which goes with the first?",
    "A-not-A": "A – not A\nOne coded cup: is it A? One or two cups a morning",
    "same-different": "Same–different\nTwo cups: are they the same?",
    "preference": "Preference\nTwo cups: which do you like better?",
}
MORE: dict[Letter, str] = {"A": "A", "B": "B"}
# Small, medium and large as ISO 4120 names them: under 25 %, to 35 %, over 35 % of trials.
SIZES = {
    "20": "Even a small one\nOne that I truly notice in 1 trial of 5",
    "30": "A medium one\nOne that I truly notice in 3 trials of 10",
    "40": "Only a large one\nOne that I truly notice in 2 trials of 5",
}
TASTINGS = {
    "one": "One taster\nAll trials by one person",
    "several": "Several tasters\nEach has trials and codes of their own, every one drawn by itself",
    "panel": "A panel\nOne trial each, every order equally often, and no result before the end",
}
RULES: dict[RuleName, str] = {
    "every morning": "Look every morning\nGo on as long as you like; ends when the evidence is in",
    "fixed number": "A fixed number\nSo many trials and no more; ends early once certain",
    "step by step": "Step by step\nTwo lines to cross (ISO 16820)",
}
POURINGS: dict[Pouring, str] = {
    "solo": "I pour for myself\nMarks under the cups and a turned tray",
    "helper": "Somebody else pours\nWhile I look away, on their phone or on this one",
    "coded": "Coded vessels\nSomebody fills and codes them before; for A – not A packets for many "
    "mornings at once",
}
METHOD_NAMES = {name: text.split("\n")[0] for name, text in METHODS.items()}
RULE_NAMES = {name: text.split("\n")[0] for name, text in RULES.items()}
BREWING_NAMES = {name: text.split("\n")[0] for name, text in BREWINGS.items()}

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


@dataclass(frozen=True)
class Meter:
    """Evidence on a logarithmic scale from 1 to 100; `at` and `mark` (its line) are 0 to 1."""

    name: str
    figure: str
    line: float
    at: float
    mark: float


def question(test: BlindTest) -> str:
    """What the taster is asked."""
    if test.method == "preference":
        return "Which cup do you like better?"
    return METHOD_FACTS[test.method].ask(test.attribute)


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
    temperature = f"{low:.0f}–{high:.0f} {formats().unit('°C')}"
    return Serving(temperature, HOT.format(temperature), PAUSE_S)


def outcome(test: BlindTest, finished: FinishedTrial) -> str:
    """How a finished trial came out: right, wrong, or the cup picked or preferred (neither).

    Where a direction was named, no cup is the right one: that is what the test is to find out.
    """
    if test.more and not finished.is_control:
        if finished.lifted == MARK_LOST:
            return "mark lost"
        other: Letter = "A" if test.more == "B" else "B"
        return test.more if is_right(test.method, test.more, finished) else other
    if test.method != "preference":
        return "right" if is_right(test.method, test.more, finished) else "wrong"
    choice = choice_of(finished)
    return (choice and choice.preferred) or "neither"


def held(test: BlindTest, finished: FinishedTrial) -> str:
    """What the cups of a finished trial held, in one line."""
    if finished.is_control:
        return "A only"
    if test.method == "A-not-A":
        cup = tasted_cup(finished.pouring, finished.cups, finished.lifted)
        return f"{cup} tasted" if cup else "mark lost"
    return " ".join(finished.cups)


def meters(read: Standing, rule: RuleName) -> list[Meter]:
    """The evidence to draw for a test that is looked at every morning."""
    if rule != "every morning":
        return []
    if read.counts:
        return [
            _meter("Evidence for a difference", read.counts.evidence, SHOWN_AT),
            _meter("Evidence for close enough", read.counts.evidence_close, CLOSE_AT),
        ]
    if read.preference:
        return [_meter("Evidence for a preference", read.preference.evidence, SHOWN_AT)]
    return []


def evidence(value: float) -> str:
    """An evidence value as the verdict writes it."""
    return formats().decimals(figure(value))


def _meter(name: str, value: float, line: float) -> Meter:
    return Meter(name, evidence(value), line, _along_meter(value), _along_meter(line))


def _along_meter(value: float) -> float:
    return min(max(log(max(value, 1.0)) / log(100), 0.0), 1.0)
