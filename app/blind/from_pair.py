"""A plan that starts from two brews: what the cups are called, and what can still be poured."""

from datetime import datetime, timedelta

from sqlalchemy.orm import Session

from app.formats import Formats
from app.journal.pairs.fairness import compare
from app.journal.pairs.pair import Side, read_sides
from app.journal.pairs.rows import lines
from app.models.base import WORDS_CHARS

# So long after it was brewed, coffee in a flask may still be poured from; our own choice.
ON_THE_TABLE = timedelta(hours=3)
ALIKE = ("one of two alike", "the other of two alike")

Given = dict[str, object]


def plan_of_pair(
    session: Session, brew_a: int, brew_b: int, formats: Formats, now: datetime
) -> Given:
    """What the plan's form starts with.

    Brews that are gone by now cannot be poured from, and the claim is about ways of brewing. Cups
    of one brew would share its luck there, so that each is a brew of its own; one cup a trial is
    what somebody alone can brew for, even with one brewer.
    """
    sides = read_sides(session, (brew_a, brew_b))
    if len(sides) < 2:
        return {}
    a, b = sides[brew_a], sides[brew_b]
    given: Given = dict(zip(("a_words", "b_words"), _called(a, b, formats), strict=True))
    if all(_on_the_table(side, now) for side in (a, b)):
        return given
    ways = {"claim": "these ways of brewing", "brewing": "every cup its own"}
    return given | ways | {"method": "A-not-A"}


def _on_the_table(side: Side, now: datetime) -> bool:
    return abs(now - side.details.brewed_at) <= ON_THE_TABLE


def _called(a: Side, b: Side, formats: Formats) -> tuple[str, str]:
    """The cups by what differs between them: that is what who pours and who reads has to know."""
    apart, _ = lines(a, b, compare(a.setup, b.setup), formats)
    for state in ("differs", "alike"):
        telling = [line for line in apart if line.state == state and line.a != line.b]
        if telling:
            of_a = ", ".join(_one(line.label, line.a) for line in telling)
            of_b = ", ".join(_one(line.label, line.b) for line in telling)
            return of_a[:WORDS_CHARS], of_b[:WORDS_CHARS]
    return ALIKE


def _one(label: str, text: str) -> str:
    """The dose with its name; upright or flipped speaks for itself."""
    return text if text and text in label else f"{label} {text or 'none'}"
