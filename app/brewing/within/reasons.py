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

TASTED = (
    "Blind trials that count, side by sides with a preference, brews that were scored. Tasters are "
    "those of the trials and of scores given to these cups; whose preference a side by side holds "
    "is not noted."
)
MISSING = "Nothing is assumed where a brew has no note of it."


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase of the limits, the rule that wrote it, and by number what it comes from; `ends` are
    the brews at the least and the greatest value, or one of each kind."""

    text: Sentence
    rule: str
    brew_ids: tuple[int, ...] = ()
    ends: tuple[int, ...] = ()
    test_ids: tuple[int, ...] = ()
    pair_ids: tuple[int, ...] = ()


def phrases(
    brews: Brews,
    record: Record,
    asked: Sequence[Dimension],
    not_noted: Sequence[Missing],
    beyond: Sequence[Neighbour],
) -> tuple[Phrase, ...]:
    """What was tested, how it was tasted, what was not noted, what was not tested."""
    return (
        *_tested(brews, asked),
        *_tasted(record),
        *(
            Phrase(Sentence(f"{one.dimension.name} not noted"), MISSING, one.brew_ids)
            for one in not_noted
        ),
        *(
            Phrase(
                Sentence(f"not tested: {one.text.template}", *one.text.parts),
                one.why,
                ends=one.dimension.ends(brews),
            )
            for one in beyond
        ),
    )


def _tested(brews: Brews, asked: Sequence[Dimension]) -> Iterator[Phrase]:
    for one in (*asked, *(one for one in EVERY if one not in asked and not one.aside)):
        said = one.said(brews)
        if said is not None:
            yield Phrase(said, one.rule, tuple(one.known(brews)), one.ends(brews))


def _tasted(record: Record) -> Iterator[Phrase]:
    tests = tuple(sorted(test.id for test in record.tests if test.trials))
    pairs = tuple(sorted(pair.id for pair in record.pairs))
    scored = tuple(sorted({score.brew_id for score in record.scores}))
    for text in tasted.sentences(record):
        yield Phrase(text, TASTED, brew_ids=scored, test_ids=tests, pair_ids=pairs)
