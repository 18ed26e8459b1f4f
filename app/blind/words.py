"""The words of blind tests: what each choice means, and what to do at the table."""

from __future__ import annotations

from math import log
from typing import Any

from app.journal.blind.keys import REFERENCE, marked, place_names
from app.models import BlindTest
from app.sensory.blind.methods import METHOD_FACTS, SERVING_TEMP_C
from app.sensory.blind.record import figure
from app.web.formats import formats

CLAIMS = {
    "these cups": "These cups\nThat the two brews on the table taste different",
    "these ways of brewing": "These ways of brewing\nThat the two recipes or filters do, each "
    "time they are brewed",
}
BREWINGS = {
    "one pair": "One brew of each\nAll cups are poured from two brews",
    "fresh pair each trial": "Fresh for every trial\nA and B are brewed anew, the order drawn",
    "every cup its own": "Every cup by itself\nEach cup is a brew of its own",
}
METHODS = {
    "triangle": "Triangle\nThree cups, two the same: which is odd?",
    "paired": "Paired\nTwo cups: which has more of something you name?",
    "three-cup": "Three cups\nWhich one has the most of something you name?",
    "duo-trio": "Duo-trio\nA reference and two cups: which is the same?",
    "tetrad": "Tetrad\nFour cups, two and two: which goes with the first?",
    "preference": "Preference\nTwo cups: which do you like better?",
}
MORE = {"A": "A", "B": "B"}
TASTINGS = {
    "one": "One taster\nAll trials by one person",
    "several": "Several tasters\nEach has trials and codes of their own, every one drawn by itself",
    "panel": "A panel\nOne trial each, every order equally often, and no result before the end",
}
RULES = {
    "every morning": "Look every morning\nGo on as long as you like; ends when the evidence is in",
    "fixed number": "A fixed number\nSo many trials and no more; ends early once certain",
    "step by step": "Step by step\nTwo lines to cross (ISO 16820)",
}
POURINGS = {
    "solo": "I pour for myself\nMarks under the cups and a turned tray",
    "helper": "Somebody else pours\nWhile I look away, on their phone or on this one",
    "coded": "Coded vessels\nSomebody fills and codes them before",
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
STATES = {
    "open": ("open", ""),
    "shown": ("shown", "good"),
    "close enough": ("close enough", "good"),
    "undecided": ("undecided", "warn"),
    "stopped": ("stopped", ""),
}


def question(test: BlindTest) -> str:
    """What the taster is asked."""
    if test.method == "preference":
        return "Which cup do you like better?"
    return METHOD_FACTS[test.method].ask(test.attribute)


def named_places(test: BlindTest, trial: Any) -> list[tuple[int, str, str]]:
    """(place, its words, its code) from left to right; poured solo the codes are empty."""
    solo = trial.pouring == "solo"
    codes = trial.codes.split() or [""] * 4
    names = place_names(test.method, solo).items()
    return [(place, name, "" if name == REFERENCE else codes[place - 1]) for place, name in names]


def poured(test: BlindTest, trial: Any, key: Any) -> list[tuple[str, str, str]]:
    """(place or mark, code, cup) for who pours; in a control B is a second A."""
    if trial.pouring == "solo":
        rows = [
            (f"mark {mark}", "", str(cup)) for mark, cup in marked(test.method, key.cups).items()
        ]
        first = [("reference, beside the tray", "", key.cups[0])]
        return first + rows if test.method == "duo-trio" else rows
    places = named_places(test, trial)
    return [
        (name, code, _as_poured(test, key, cup))
        for (_, name, code), cup in zip(places, key.cups, strict=True)
    ]


def _as_poured(test: BlindTest, key: Any, cup: str) -> str:
    if not key.is_control or cup == "A":
        return cup
    return "A, second brew" if test.brewing == "fresh pair each trial" else "A"


def to_brew(test: BlindTest, key: Any) -> str:
    """What to brew for this trial, and in which order."""
    if test.brewing == "one pair":
        return "Pour from the two brews of this test."
    if test.brewing == "every cup its own":
        return "Brew every cup by itself, one after the other in the order of this list."
    if key.is_control:
        return "Brew A twice. This trial is A against A; the taster must not know."
    first = key.brewed_first or "A"
    return f"Brew both afresh: {first} first, then {'B' if first == 'A' else 'A'} (drawn by lot)."


def amounts(rows: list[tuple[str, str, str]]) -> str:
    """How much of each the cups of a trial take."""
    kinds = [cup for _, _, cup in rows]
    grams = formats().grams
    each = [f"{grams(kinds.count(k) * GRAMS_A_CUP)} of {k}" for k in dict.fromkeys(kinds)]
    return f"{grams(GRAMS_A_CUP)} in each cup: {' and '.join(each)} in all."


def serving_temp() -> str:
    """The temperature all cups are served at, in the household's unit."""
    low, high = (formats().shown(bound, "°C") for bound in SERVING_TEMP_C)
    return f"{low:.0f}–{high:.0f} {formats().unit('°C')}"


def hot() -> str:
    return HOT.format(serving_temp())


def evidence(value: float) -> str:
    """An evidence value as the verdict writes it."""
    return formats().decimals(figure(value))


def along_meter(value: float, line: float) -> tuple[float, float]:
    """Where evidence and its line stand on a meter from 1 to 100 by powers, 0 to 1."""

    def along(one: float) -> float:
        return min(max(log(max(one, 1.0)) / log(100), 0.0), 1.0)

    return along(value), along(line)
