"""The strength of an answer's evidence in one plain sentence, and what it does not say."""

from collections.abc import Iterator, Sequence

from app.journal.blind.evidence import BlindEvidence
from app.readers import tested, words
from app.readers.asked import Asked
from app.sensory.terms import Claim

SETTLED = ("shown", "close enough")


def lead(asked: Asked) -> str:
    """By the rule that grades every question (sensory/gathered/weight.py)."""
    level = asked.found.weight.level
    claim: Claim = "these cups" if level.endswith("two cups") else "these ways of brewing"
    ended = [one for one in asked.found.tests if one.test.claim == claim]
    of = [one for one in ended if level.startswith(one.state)]
    if not of:  # only a test in the bin, or taken away, has settled it
        found = words.CLOSE if level.startswith("close") else words.TOLD_APART
    else:
        said = {tested.found_by(one, asked.cups(one), asked.ticks) for one in of}
        found = said.pop() if len(said) == 1 else words.TOLD_APART
    tests = "A blind test shows" if len(of) < 2 else "Blind tests show"
    return words.LEADS[level].format(tests=tests, found=found, chance=words.CHANCE)


def limits(asked: Asked) -> list[str]:
    """What the evidence does not say, whose it is, and what counts besides."""
    found = asked.found
    level = found.weight.level
    said = list(words.LIMITS[level])
    ended = [one for one in found.tests if one.state == "shown"]
    if level.startswith("shown") and not any(_is_preference(one) for one in ended):
        said.append(words.NOT_BETTER)
    return [*said, *_whose(asked), *_besides(asked)]


def _is_preference(test: BlindEvidence) -> bool:
    return test.test.method == "preference" and test.way is not None


def _whose(asked: Asked) -> Iterator[str]:
    """Whom it holds for."""
    tests: Sequence[BlindEvidence] = [one for one in asked.found.tests if one.n]
    people = {taster for taster, _ in tested.tasters_of(tests)}
    people |= {row.taster_id for line in asked.lines.values() for row in line.side.tastings}
    if len(tests) == 1 and tested.panel(tests[0]) == "one trial each":
        yield words.PEOPLE
    elif people:
        yield words.ONE_TASTER if len(people) == 1 else words.FEW_TASTERS


def _besides(asked: Asked) -> Iterator[str]:
    found = asked.found
    if found.gone:
        count = len(found.gone)
        more = words.capital(words.spelled(count, "more blind test"))
        verb = "counts" if count == 1 else "count"
        yield f"{more} {verb} in this, without being told here: taken away or thrown away later."
    if any(one.marks.marks for one in found.tests):
        yield words.CHANGED
