"""Why the limits of an answer read as they do: each phrase with its rule and what it rests on."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from app.brewing.sentences import Sentence
from app.brewing.within import tasted
from app.brewing.within.dimension import Brews, Dimension
from app.brewing.within.facts import Record
from app.brewing.within.missing import Missing
from app.brewing.within.order import EVERY
from app.brewing.within.untested import Neighbour

COUNTED = "Brews that were scored, compared with a preference, or poured for a blind trial."
MISSING = "Nothing is assumed of a brew that has no note of it."
TASTERS = (
    "Those of the trials and of the scores; whose preference a side by side holds is not noted."
)
TRIALS = "Trials that count, of all blind tests looked at under the question."
PAIRS = "Side by sides with a preference that bear on the question."
SCORES = "Brews under the question with a score, but not one given after a reveal."


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase of the limits, the rule that wrote it, and by number what it comes from. In `noted`
    brews there was a note of it, and `brew_ids` show it: those at the least and the greatest
    value, one of each kind, or those without a note."""

    text: Sentence
    rule: str
    noted: int = 0
    brew_ids: tuple[int, ...] = ()
    test_ids: tuple[int, ...] = ()
    pair_ids: tuple[int, ...] = ()


def phrases(
    record: Record,
    brews: Brews,
    asked: Sequence[Dimension],
    not_noted: Sequence[Missing],
    beyond: Sequence[Neighbour],
) -> tuple[Phrase, ...]:
    """What was tested, how it was tasted, what was not noted, what was not tested."""
    gaps = (
        Phrase(Sentence(f"{one.dimension.name} not noted"), MISSING, brew_ids=one.brew_ids)
        for one in not_noted
    )
    neighbours = (
        Phrase(
            Sentence(f"not tested: {one.text.template}", *one.text.parts),
            one.why,
            brew_ids=one.dimension.ends(brews),
        )
        for one in beyond
    )
    return *_tested(brews, asked), *_tasted(record), *gaps, *neighbours


def _tested(brews: Brews, asked: Sequence[Dimension]) -> Iterator[Phrase]:
    if brews:
        every = tuple(brew.id for brew in brews)
        yield Phrase(Sentence("the brews"), COUNTED, len(brews), every)
    for one in (*asked, *(one for one in EVERY if one not in asked and not one.aside)):
        said = one.said(brews)
        if said is not None:
            yield Phrase(said, one.rule, len(one.known(brews)), one.ends(brews))


def _tasted(record: Record) -> Iterator[Phrase]:
    tests = tuple(sorted(test.id for test in record.tests))
    pairs = tuple(sorted(pair.id for pair in record.pairs))
    scored = tuple(sorted({score.brew_id for score in record.scores}))
    if who := tasted.by(record):
        yield Phrase(who, TASTERS)
    if trials := tasted.in_trials(record):
        yield Phrase(trials, TRIALS, test_ids=tests)
    if compared := tasted.in_pairs(record):
        yield Phrase(compared, PAIRS, pair_ids=pairs)
    if scores := tasted.in_scores(record):
        yield Phrase(scores, SCORES, len(scored), scored)
