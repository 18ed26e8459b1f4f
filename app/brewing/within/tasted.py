"""How it was tasted: by how many, in blind trials, sighted side by sides and scored brews."""

from collections.abc import Iterator

from app.brewing.sentences import Sentence
from app.brewing.within.facts import Record
from app.brewing.within.words import MOST_FIGURES, capital, count, counted, figures, listed, packed

UNKNOWN = Sentence("So it is not known within which limits it was tested.")
NOBODY = Sentence("Who tasted was not noted.")


def sentences(record: Record) -> Iterator[Sentence]:
    """How it was tasted, and of which trials nobody noted what was brewed for them."""
    where = [part for part in (in_trials(record), in_pairs(record), in_scores(record)) if part]
    together = listed(where) if where else ""
    if figures(together) <= MOST_FIGURES:
        where = [Sentence(together)] if where else []
    yield from packed("Tasted", [part for part in (by(record), *where) if part])
    if not record.taster_ids:
        yield NOBODY
    elif unnamed := sum(not pair.taster_ids for pair in record.pairs):
        pairs = len(record.pairs)
        of_all = f"the {counted(pairs, 'side by side') if pairs > 1 else 'side by side'}"
        some = of_all if unnamed == pairs else f"{count(unnamed)} of {of_all}"
        yield Sentence(f"Who tasted was not noted for {some}.")
    if gone := in_the_bin(record):
        yield gone
    yield from _not_noted(record)
    if not record.brews:
        yield UNKNOWN


def by(record: Record) -> Sentence | None:
    tasters = len(record.taster_ids)
    return Sentence(f"by {counted(tasters, 'taster')}") if tasters else None


def in_trials(record: Record) -> Sentence | None:
    trials = sum(test.trials for test in record.tests)
    return Sentence(f"in {counted(trials, 'blind trial')}") if trials else None


def in_pairs(record: Record) -> Sentence | None:
    pairs = len(record.pairs)
    return Sentence(f"in {counted(pairs, 'sighted side by side')}") if pairs else None


def in_scores(record: Record) -> Sentence | None:
    scored, blind = {score.brew_id for score in record.scores}, len(record.scored_blind)
    if not scored:
        return None
    some = "all" if len(scored) == blind else count(blind) if blind else "none"
    how = f"{some} of them blind"
    if len(scored) == 1:
        how = "blind" if blind else "not blind"
    return Sentence(f"in {counted(len(scored), 'scored brew')}, {how}")


def in_the_bin(record: Record) -> Sentence | None:
    """What is no longer under the question, or in the bin, and still counts."""
    tests, pairs = (sum(one.gone for one in of) for of in (record.tests, record.pairs))
    said = [counted(tests, "blind test")] if tests else []
    said += [counted(pairs, "side by side")] if pairs else []
    if not said:
        return None
    is_, counts = ("is", "counts") if tests + pairs == 1 else ("are", "count")
    where = "in the bin or taken away" if tests else "in the bin"
    return Sentence(capital(f"{listed(said)} of these {is_} {where} and still {counts}."))


def _not_noted(record: Record) -> Iterator[Sentence]:
    trials = sum(test.trials for test in record.tests)
    missing = sum(test.trials - test.noted for test in record.tests if not test.hidden)
    hidden = sum(test.trials - test.noted for test in record.tests if test.hidden)
    if missing:
        of_all = f"the {counted(trials, 'blind trial')}"
        some = of_all if missing == trials else f"{count(missing)} of {of_all}"
        yield Sentence(f"What was brewed for {some} was not noted.")
    if hidden:
        of_hidden = counted(hidden, "hidden trial")
        yield Sentence(f"What was brewed for {of_hidden} is not told before their test ends.")
