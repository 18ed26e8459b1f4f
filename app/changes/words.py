"""The sentences and tables of the pages of what to change."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.formats import Formats
from app.journal.changes.advice import Advice, Cost, Read
from app.journal.changes.cups import Scope
from app.journal.pairs.fairness import listed
from app.sensory.gathered.words import counted
from app.sensory.scores.apart import LEAST_DAYS
from app.sensory.scores.penalties import LEAST_CUPS, LEAST_RIGHT

HEAD = ("Attribute", "Cups#", "Takes off the mean#", "Liked less by#", "What else")
CUPS_OF = {"brew": "its bag", "bag": "this bag", "recipe": "this recipe"}
NEEDED = (
    f"It takes {LEAST_CUPS} cups on one side of just right and {LEAST_RIGHT} just right to say "
    f"what they cost, {LEAST_DAYS} days of each for a range."
)
LIMITS = (
    "Such cups may differ in more than the attribute: a tired palate finds a cup bitter and likes "
    "it less. No cause is named here; two cups brewed for it, or a blind test, can name one.",
    "What costs liking and what neighbours were liked share 1 in 20: where nothing matters, about "
    "1 such page in 20 shows something. Looking again whenever a cup comes in is not counted; of "
    "200 simulated months where nothing matters, looked at daily, 7 said something on some day.",
    "Published directions come from drip coffee and a trained panel. Temperature is not among "
    "them: at equal strength and extraction 87 to 93 °C made no difference (Batali et al. 2020). "
    "For clarity none is known.",
)


@dataclass(frozen=True, slots=True)
class Table:
    """The costs of one taster's blind or sighted cups; `text` says how many they are."""

    title: str
    text: str
    rows: Sequence[Sequence[str]]


def missing(scope: Scope, found: Advice | None) -> str:
    """What is missing for more, in one line; empty where nothing is."""
    if found is None:
        return "Nothing has been brewed yet, so there is nothing to change."
    if not found.read:
        return f"No cup of {CUPS_OF[scope]} with this brewer has been scored yet. {NEEDED}"
    most = found.read[0]
    if not most.answered:
        cups = "The one scored cup has" if most.cups == 1 else f"The {most.cups} scored cups have"
        return f"{cups} no just-right answers. {NEEDED}"
    if not most.costs:
        return f"{counted(most.answered, 'cup')} with just-right answers on " \
               f"{counted(most.days, 'day')}: not enough on one side yet. {NEEDED}"  # fmt: skip
    return ""


def tables(found: Advice, written: Formats) -> list[Table]:
    return [_table(found, one, written) for one in found.read if one.answered]


def _table(found: Advice, read: Read, written: Formats) -> Table:
    title = f"{found.name}, {'tasted blind' if read.blind else 'sighted'}"
    text = (
        f"{counted(read.answered, 'cup')} with just-right answers on {counted(read.days, 'day')}."
    )
    return Table(title, text, [_row(cost, written) for cost in read.costs])


def _row(cost: Cost, written: Formats) -> list[str]:
    one, found = cost.penalty, cost.penalty.found
    ends = "too few days for a range"
    if found.low is not None and found.high is not None:
        ends = " to ".join(_signed(end, written) for end in (found.low, found.high))
    return [
        f"{one.side} {one.attribute}",
        f"{one.cups} of {one.answers} ({100 * one.share:.0f} %)",
        _signed(one.takes, written),
        f"{_signed(one.drop, written)} ({ends})",
        _else(cost),
    ]


def _else(cost: Cost) -> str:
    if not cost.penalty.costs:
        return "chance can give it" if cost.penalty.found.low is not None else "–"
    return f"{listed(cost.rivals)} could explain it" if cost.rivals else "nothing noted explains it"


def _signed(value: float, written: Formats) -> str:
    text = written.fixed(abs(value), 1)
    return f"−{text}" if round(value, 1) < 0 else text


def limits(found: Advice) -> Sequence[str]:
    return LIMITS if found.read else LIMITS[-1:]
