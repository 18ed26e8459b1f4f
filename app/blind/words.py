"""The words of blind tests: what each choice means, how a trial came out, the evidence drawn."""

from dataclasses import dataclass
from math import log

from app.journal.blind.keys import choice_of, is_right, tasted_cup
from app.journal.blind.sealed import FinishedTrial
from app.journal.blind.standing import Standing
from app.models import BlindTest
from app.sensory.blind.evalue import CLOSE_AT, SHOWN_AT
from app.sensory.blind.methods import METHOD_FACTS
from app.sensory.blind.record import figure
from app.sensory.terms import MARK_LOST, Brewing, Claim, Letter, Method, Pouring, RuleName
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
    "coded": "Coded vessels\nSomebody fills and codes them before",
}
# ISO 4120 warns of a preference asked after a difference test.
KEPT_APART = (
    "Kept beside the blind answer and never counted with it: having just chosen, and knowing which "
    "is which, sway what one likes (ISO 4120 warns of it)."
)
METHOD_NAMES = {name: text.split("\n")[0] for name, text in METHODS.items()}
RULE_NAMES = {name: text.split("\n")[0] for name, text in RULES.items()}
BREWING_NAMES = {name: text.split("\n")[0] for name, text in BREWINGS.items()}


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
