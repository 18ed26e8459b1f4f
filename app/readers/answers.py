"""The answer to a question as readers get it: its evidence, pictures, cups, tasters and limits."""

from collections.abc import Iterator, Sequence
from datetime import datetime

from sqlalchemy.orm import Session

from app.charts.figure import Chart
from app.formats import Formats
from app.journal.gathered import sources
from app.journal.pairs.fairness import listed
from app.models import Question
from app.readers import pictures, tasted, tested, words
from app.readers.asked import Asked, read_asked
from app.readers.brewed import MOST_WAYS, how_brewed
from app.readers.evidence import SETTLED, lead, limits
from app.readers.own_words import names_in
from app.readers.publication import Part, Publication
from app.readers.ticks import Ticks

MOST_TEST_PICTURES = 2


def _limits(asked: Asked) -> list[str]:
    """What was tested in one piece, what was not in another."""
    within, say = asked.within, asked.formats.say
    tested = " ".join(say(one) for one in within.tested)
    return [tested, say(within.not_tested)] if within.not_tested else [tested]


def answer_of(
    session: Session,
    question: Question,
    ticks: Ticks,
    formats: Formats,
    now: datetime,
    made_on: str,
) -> Publication:
    """In a number of statements that does not grow with what is under the question."""
    asked = read_asked(session, question, ticks, formats, now)
    drawn = list(_pictures(asked))
    parts = (
        Part("How it was tasted", *_tasted(asked)),
        how_brewed(asked.ways, formats),
        Part("Tested within", _limits(asked)),
        Part("Limits", items=limits(asked)),
        Part("Notes", items=tasted.shortened(_notes(asked))),
        Part("Sources", items=_sources(asked, drawn)),
    )
    return Publication(
        question.text,
        question.answer,
        "Evidence",
        lead(asked),
        drawn,
        [part for part in parts if part.filled],
        made_on,
        _advice(session, asked),
    )


def _advice(session: Session, asked: Asked) -> list[str]:
    """What the household should know before it lets the answer go out."""
    unsaid = any(test.n and not asked.cups(test) for test in asked.found.tests)
    named = names_in(session, f"{asked.question.text}\n{asked.question.answer}")
    said = [words.NAMED.format(listed(named))] if named else []
    return [*said, words.CUPS_UNSAID] if unsaid else said


def _tasted(asked: Asked) -> tuple[list[str], list[str]]:
    """Sentences on who scored and compared, and a line for each blind test."""
    sides = [line.side for line in asked.lines.values()]
    said = [tasted.who_scored(tasted.scored(sides), asked.ticks), _compared(asked)]
    names = [name for _, name in tested.tasters_of(asked.found.tests)]
    if names and asked.ticks.tasters:
        said.append(f"Tasters of the blind tests: {', '.join(names)}.")
    elif names:
        many = words.capital(words.spelled(len(names), "taster"))
        which = "the blind test" if len(asked.found.tests) == 1 else "the blind tests"
        said.append(f"{many} answered {which}.")
    tests = [tested.said_of(one, asked.cups(one), asked.ticks) for one in asked.found.tests]
    return [sentence for sentence in said if sentence], words.each_once(tests)


def _compared(asked: Asked) -> str:
    """The side by sides: how many, how many fair, and how they came out."""
    pairs = asked.found.pairs
    if not pairs:
        return ""
    fair = [pair for pair in pairs if pair.bearing == "fair"]
    preferred = [pair for pair in fair if pair.row.preference in ("a", "b")]
    return words.compared(len(pairs), len(fair), len(preferred))


def _pictures(asked: Asked) -> Iterator[Chart]:
    """Liking by way; the count of each blind test, those first that have ended; two cups."""
    liking = pictures.liking(asked.ways, asked.formats)
    if len(asked.ways) > MOST_WAYS and asked.along:
        lines = list(asked.lines.values())
        liking = pictures.liking_along(asked.along, lines, asked.formats)
    if liking:
        yield liking
    in_turn = sorted(asked.found.tests, key=lambda one: (one.state not in SETTLED, -one.n))
    for test in in_turn[:MOST_TEST_PICTURES]:
        count = pictures.count_against_chance(test, tested.attribute_of(test, asked.ticks))
        if count:
            yield count
    pair = asked.pair
    strength = pictures.strength(pair[0].side, pair[1].side, asked.formats) if pair else None
    if strength:
        yield strength


def _notes(asked: Asked) -> list[str]:
    if not asked.ticks.notes:
        return []
    said = [f"Of a side by side: {pair.row.note}" for pair in asked.found.pairs if pair.row.note]
    said += [f"Of a blind test: {one.test.note}" for one in asked.found.tests if one.test.note]
    return said + tasted.notes_of((line.side for line in asked.lines.values()), asked.ticks)


def _sources(asked: Asked, drawn: Sequence[Chart]) -> list[str]:
    """Formulas and sources behind what is shown."""
    rules = [text for text in sources.sources_of(asked.found) if text != sources.STRENGTH]
    return pictures.sources_of([*asked.lines.values()], drawn, words.STRENGTH, *rules)
