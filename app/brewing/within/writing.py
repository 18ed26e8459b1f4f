"""The limits of an answer in plain sentences, and what each phrase of them comes from.

Nothing is assumed: what was not noted is said, and what was not tested is named as far as was
noted. No sentence has more than two figures.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from app.brewing.sentences import Sentence
from app.brewing.within import tasted
from app.brewing.within.amounts import CUP
from app.brewing.within.asides import BREW_WATER
from app.brewing.within.dimension import Brews, Dimension
from app.brewing.within.facts import Record
from app.brewing.within.missing import Missing, missing, sentences_of
from app.brewing.within.order import AMOUNTS, COFFEE, EVERY, GEAR
from app.brewing.within.reasons import Phrase, phrases
from app.brewing.within.scales import AT_ONCE
from app.brewing.within.things import BEANS
from app.brewing.within.untested import Neighbour, untested
from app.brewing.within.words import MOST_FIGURES, count, counted, figures, joined, packed

NOTHING = Sentence("Nothing was tasted for this question yet, so nothing is tested.")
SOME_ONLY = "What is asked about was noted in some brews only:"
SAME = "What is asked about did not differ in these:"
SAME_TOO = "Asked about as well, but the same in all:"
MOST_NARROWER = 3


@dataclass(frozen=True, slots=True)
class Within:
    """The limits of an answer: what was tested and what was not, for whoever reads it, and phrases
    for whoever asks why."""

    tested: tuple[Sentence, ...]
    not_tested: Sentence | None
    phrases: tuple[Phrase, ...]

    @property
    def sentences(self) -> tuple[Sentence, ...]:
        return self.tested if self.not_tested is None else (*self.tested, self.not_tested)


def written(record: Record) -> Within:
    """The limits of an answer that rests on this; in which order it is given changes nothing."""
    brews = sorted(record.brews, key=lambda brew: brew.id)
    if not (brews or any(test.trials for test in record.tests)):
        return Within((NOTHING,), None, ())
    asked = [one for one in EVERY if one.asked in record.asked and _told(one, brews)]
    not_noted, beyond = missing(brews, asked), untested(brews, record.around, asked)
    tested = (
        *_compared(brews, asked),
        *_tested(brews, asked),
        *tasted.sentences(record),
        *_narrower(brews, record),
        *sentences_of(not_noted, len(brews)),
    )
    not_tested = _not_tested(record, not_noted, beyond)
    return Within(tested, not_tested, phrases(record, brews, asked, not_noted, beyond))


def _told(one: Dimension, brews: Brews) -> bool:
    """How many filters lay in a brewer is asked about with them, but one alone is not said."""
    return bool(one.asked) and (one is not AT_ONCE or one.said(brews) is not None)


def _compared(brews: Brews, asked: Sequence[Dimension]) -> Iterator[Sentence]:
    """The things asked about, if they differed: all that is said of one of them together."""
    by_thing: dict[str, list[Dimension]] = {}
    for one in asked:
        by_thing.setdefault(one.asked, []).append(one)
    same: list[Sentence] = []
    for thing, of_it in by_thing.items():
        said = [text for one in of_it if (text := one.said(brews)) is not None]
        if any(one.differs(brews) for one in of_it):
            yield from packed("Compared were cups brewed", said)
        elif said and any(len(one.known(brews)) < len(brews) for one in of_it):
            yield from packed(f"{SOME_ONLY} cups brewed", said)
        elif brews and not any(one.has(brew) for one in of_it for brew in brews):
            yield Sentence(f"What is asked about does not apply to these brews: {thing}.")
        else:
            same += said
    lead = SAME if len(same) == sum(one.said(brews) is not None for one in asked) else SAME_TOO
    yield from packed(f"{lead} cups brewed", same)


def _tested(brews: Brews, asked: Sequence[Dimension]) -> Iterator[Sentence]:
    if not brews:
        return
    coffee, gear, amounts = (
        [
            said
            for one in group
            if one not in asked
            and not one.aside
            and not _said_twice(one, brews, asked)
            and (said := one.said(brews)) is not None
        ]
        for group in (COFFEE, GEAR, AMOUNTS)
    )
    first = counted(len(brews), "brew")
    if BEANS not in asked:
        first, coffee = f"{first} {coffee[0]}", coffee[1:]
    yield from packed("Tested in", [Sentence(first), *coffee], then="Brewed")
    yield from packed("Brewed", gear)
    yield from packed("Brewed", amounts)


def _said_twice(one: Dimension, brews: Brews, asked: Sequence[Dimension]) -> bool:
    """All the water of the cups, where this is the brew water that is asked about."""
    return one is CUP and BREW_WATER in asked and CUP.known(brews) == BREW_WATER.known(brews)


def _narrower(brews: Brews, record: Record) -> Iterator[Sentence]:
    """What the cups tasted blind were tested within, where that is less; how many were scored blind
    is said with the scores."""
    blind = [brew for brew in brews if brew.id in record.blind_ids]
    if not blind or len(blind) == len(brews):
        return
    if record.tests:
        verb = "was" if len(blind) == 1 else "were"
        yield Sentence(f"Of these brews {count(len(blind))} {verb} tasted blind.")
    less: list[Sentence] = []
    for one in EVERY:
        said = None if one.aside or not one.differs(brews) else one.said(blind)
        if said is None or said == one.said(brews) or len(less) == MOST_NARROWER:
            continue
        if figures(" ".join([*less, said])) <= MOST_FIGURES:
            less.append(said)
    if less:
        yield joined("Blind cups were only brewed", less)


def _not_tested(
    record: Record, not_noted: Sequence[Missing], beyond: Sequence[Neighbour]
) -> Sentence | None:
    """The neighbours; where something was not noted, they may have been tested after all."""
    if not beyond:
        return None
    gaps = {one.dimension.name for one in not_noted}
    unsure = any(test.trials > test.noted for test in record.tests)
    unsure = unsure or any(one.dimension.name in gaps for one in beyond)
    lead = "Not tested, as far as was noted:" if unsure else "Not tested:"
    return joined(lead, [one.text for one in beyond])
