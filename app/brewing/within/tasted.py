"""How it was tasted: by how many, in blind trials, sighted side by sides and scored brews."""

from collections.abc import Iterator

from app.brewing.sentences import Sentence
from app.brewing.within.facts import Record
from app.brewing.within.words import capital, count, counted, listed, packed

UNKNOWN = Sentence("So it is not known within which limits it was tested.")
NOBODY = Sentence("Who tasted was not noted.")


def sentences(record: Record) -> Iterator[Sentence]:
    by = [Sentence(f"by {counted(len(record.taster_ids), 'taster')}")] if record.taster_ids else []
    yield from packed("Tasted", [*by, *_cups(record)])
    if not by:
        yield NOBODY
    yield from _gone(record)
    yield from _not_noted(record)
    if not record.brews:
        yield UNKNOWN


def _cups(record: Record) -> Iterator[Sentence]:
    trials = sum(test.trials for test in record.tests)
    if trials:
        yield Sentence(f"in {counted(trials, 'blind trial')}")
    if record.pairs:
        yield Sentence(f"in {counted(len(record.pairs), 'sighted side by side')}")
    scored = {score.brew_id for score in record.scores}
    if not scored:
        return
    blind = len(scored - {score.brew_id for score in record.scores if not score.blind})
    some = "all" if len(scored) == blind else count(blind) if blind else "none"
    how = f"{some} of them blind"
    if len(scored) == 1:
        how = "blind" if blind else "not blind"
    yield Sentence(f"in {counted(len(scored), 'scored brew')}, {how}")


def _gone(record: Record) -> Iterator[Sentence]:
    tests, pairs = (sum(one.gone for one in of) for of in (record.tests, record.pairs))
    said = [counted(tests, "blind test")] if tests else []
    said += [counted(pairs, "side by side")] if pairs else []
    if said:
        is_, counts = ("is", "counts") if tests + pairs == 1 else ("are", "count")
        where = "in the bin or taken away" if tests else "in the bin"
        yield Sentence(capital(f"{listed(said)} of these {is_} {where} and still {counts}."))


def _not_noted(record: Record) -> Iterator[Sentence]:
    """Trials of which nobody said what was brewed for them."""
    open_tests = [test for test in record.tests if not test.hidden]
    trials = sum(test.trials for test in open_tests)
    missing = sum(test.trials - test.noted for test in open_tests)
    hidden = sum(test.trials - test.noted for test in record.tests if test.hidden)
    if missing:
        of_all = f"the {counted(trials, 'blind trial')}"
        some = of_all if missing == trials else f"{count(missing)} of {of_all}"
        yield Sentence(f"What was brewed for {some} was not noted.")
    if hidden:
        of_hidden = counted(hidden, "hidden trial")
        yield Sentence(f"What was brewed for {of_hidden} is not told before their test ends.")
