"""A question with all that was gathered under it, read and put into words that may go out."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.brewing.within.writing import Within
from app.formats import Formats, ordinal
from app.journal.blind.evidence import BlindEvidence
from app.journal.gathered.evidence import Gathered, PairLine, gather
from app.journal.gathered.groups import NAMES, BrewLine, Group, Groups, group, is_number, value_of
from app.journal.gathered.poured import Poured, poured_of
from app.journal.gathered.within import within_of
from app.models import Question
from app.readers.brewed import Way
from app.readers.cups import Lines, apart, of_setting, read_cups
from app.readers.ticks import Ticks
from app.sensory.terms import LETTERS, Letter


@dataclass(frozen=True, slots=True)
class Asked:
    """`lines` are the cups by brew, `ways` the same cups by what the question is about.
    `along` is the label of that, where it is one thing and a number."""

    question: Question
    found: Gathered
    lines: Lines
    poured: dict[int, Poured]
    ways: Sequence[Way]
    along: str
    within: Within
    ticks: Ticks
    formats: Formats

    def cups(self, test: BlindEvidence) -> dict[Letter, str]:
        """What A and B of a test were, by what was noted of them or in the household's words;
        empty where neither is to be told."""
        plan = test.test
        if self.ticks.cups:
            return {"A": plan.a_words, "B": plan.b_words}
        a, b = (self._of(test, letter) for letter in LETTERS)
        if a and b:
            told = apart(a[-1], b[-1])
            if told:
                return {"A": ", ".join(one.a for one in told), "B": ", ".join(o.b for o in told)}
        if plan.a_filter_use and plan.b_filter_use and plan.a_filter_use != plan.b_filter_use:
            of = "use of the filter"
            return {
                "A": f"{ordinal(plan.a_filter_use)} {of}",
                "B": f"{ordinal(plan.b_filter_use)} {of}",
            }
        return {}

    @property
    def pair(self) -> tuple[BrewLine, BrewLine] | None:
        """The cups of the fair side by side saved last."""
        fair = [pair for pair in self.found.pairs if pair.bearing == "fair"]
        return self._cups_of(fair[-1]) if fair else None

    def _cups_of(self, pair: PairLine) -> tuple[BrewLine, BrewLine] | None:
        a, b = self.lines.get(pair.row.brew_a_id), self.lines.get(pair.row.brew_b_id)
        return (a, b) if a and b else None

    def _of(self, test: BlindEvidence, letter: Letter) -> list[BrewLine]:
        return [self.lines[n] for n in self.poured[test.test_id][letter] if n in self.lines]


def read_asked(
    session: Session, question: Question, ticks: Ticks, formats: Formats, now: datetime
) -> Asked:
    """In a number of statements that does not grow with what is under the question."""
    found = gather(session, question, formats, now)
    poured = poured_of(session, [one.test for one in found.tests])
    in_pairs = {n for one in found.pairs for n in (one.row.brew_a_id, one.row.brew_b_id)}
    in_tests = {n for one in poured.values() for ids in one.values() for n in ids}
    tied = {line.side.row.id for line in found.brews}
    lines = read_cups(session, tied | in_pairs | in_tests, ticks, formats)
    grouped = group(list(lines.values()), question.factors)
    ways = _ways(lines, grouped, poured)
    within = within_of(session, question, found)
    return Asked(question, found, lines, poured, ways, _along(grouped), within, ticks, formats)


def _ways(lines: Lines, grouped: Groups | None, poured: dict[int, Poured]) -> list[Way]:
    """The cups by what is asked about, or by the only thing that differs; else by A and B of the
    only test; else all of them together."""
    if grouped and len(grouped.groups) > 1:
        named = [_named(one, grouped.labels) for one in grouped.groups]
        if len(set(named)) < len(named):  # what tells them apart is not to be told
            named = [f"{ordinal(place)} way" for place, _ in enumerate(named, 1)]
        return [Way(name, one.members) for name, one in zip(named, grouped.groups, strict=True)]
    if len(poured) == 1:
        (cups,) = poured.values()
        ways = [Way(f"Cup {cup}", [lines[n] for n in cups[cup] if n in lines]) for cup in LETTERS]
        if all(way.lines for way in ways):
            return ways
    return [Way("", list(lines.values()))]


def _along(grouped: Groups | None) -> str:
    if grouped is None or len(grouped.labels) != 1:
        return ""
    (label,) = grouped.labels
    values = [getattr(of.side.setup, NAMES[label]) for one in grouped.groups for of in one.members]
    return label if any(is_number(value, NAMES[label]) for value in values) else ""


def _named(one: Group, labels: Sequence[str]) -> str:
    """paper filter, 3rd use of the filter."""
    return ", ".join(of_setting(label, value_of(label, one.members)) for label in labels)
