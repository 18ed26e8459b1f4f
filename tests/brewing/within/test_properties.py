"""What holds for the limits of any answer, whatever brews it rests on."""

from __future__ import annotations

import re
from random import Random
from typing import TypeVar

from hypothesis import given, settings
from hypothesis import strategies as st

from app.brewing.bounds import BREWER_KINDS, FILTER_MATERIALS, GRINDS_OR_NONE
from app.brewing.within.dimension import Kinds, Numbers
from app.brewing.within.facts import (
    BlindFacts,
    BrewFacts,
    FilterFacts,
    PairFacts,
    Record,
    ScoreFacts,
)
from app.brewing.within.order import EVERY
from app.brewing.within.words import figures
from app.brewing.within.writing import written

T = TypeVar("T")
ASKED = sorted({one.asked for one in EVERY if one.asked})
FEW = st.integers(1, 3)
FILTERS = st.builds(
    FilterFacts, st.sampled_from(FILTER_MATERIALS), FEW, st.none() | st.integers(1, 30)
)


def brews(most: int) -> st.SearchStrategy[tuple[BrewFacts, ...]]:
    one = st.builds(
        BrewFacts,
        id=st.integers(1, 1000),
        bag_id=FEW,
        bean_id=FEW,
        process=st.sampled_from(("", "washed", "Washed", "natural")),
        origin=st.sampled_from(("", "north", "south")),
        decaf=st.booleans(),
        rest_days=st.none() | st.integers(-2, 400),
        frozen_days=st.integers(0, 3),
        brewer_id=FEW,
        first_brewer_id=FEW,
        kind=st.sampled_from(BREWER_KINDS),
        filters=st.lists(FILTERS, max_size=3).map(tuple),
        grinder_id=st.none() | FEW,
        grind=st.sampled_from(GRINDS_OR_NONE),
        grind_setting=st.sampled_from(("", "9", "11.5")),
        water_id=st.none() | FEW,
        hardness_mg_l=st.none() | st.floats(0, 600),
        dose_g=st.floats(1, 2000),
        water_g=st.floats(10, 40000),
        bypass_g=st.floats(0, 4000),
        ice_g=st.sampled_from((0.0, 55.0, 80.0)),
        water_temp_c=st.none() | st.floats(0, 100),
        steep_s=st.none() | st.integers(0, 172800),
        press_s=st.none() | st.integers(0, 300),
        press_effort=st.none() | st.integers(1, 5),
        flipped=st.booleans(),
        stirs=st.none() | st.integers(0, 30),
        revision_id=st.none() | FEW,
    )
    return st.lists(one, max_size=most, unique_by=lambda brew: brew.id).map(tuple)


@st.composite
def records(draw: st.DrawFn) -> Record:
    some = draw(brews(8))
    ids = st.frozensets(st.sampled_from([brew.id for brew in some] or [1]), max_size=3)
    if not some:
        ids = st.just(frozenset())
    tests = st.builds(
        BlindFacts, id=FEW, trials=st.integers(1, 40), noted=st.just(0), brew_ids=ids,
        taster_ids=st.frozensets(FEW), hidden=st.booleans(), gone=st.booleans(),
    )  # fmt: skip
    pairs = st.builds(
        PairFacts, id=FEW, brew_ids=ids, taster_ids=st.frozensets(FEW), gone=st.booleans()
    )
    scores = st.builds(
        ScoreFacts, brew_id=st.sampled_from([brew.id for brew in some] or [1]), taster_id=FEW,
        blind=st.booleans(),
    )  # fmt: skip
    return Record(
        brews=some,
        tests=tuple(draw(st.lists(tests, max_size=3))),
        pairs=tuple(draw(st.lists(pairs, max_size=3))),
        scores=tuple(draw(st.lists(scores, max_size=4))) if some else (),
        asked=tuple(draw(st.lists(st.sampled_from(ASKED), max_size=3, unique=True))),
        around=draw(brews(4)),
    )


def _shuffled(random: Random, of: tuple[T, ...]) -> tuple[T, ...]:
    return tuple(random.sample(of, len(of)))


@settings(max_examples=60, deadline=None)
@given(records(), st.randoms(use_true_random=False))
def test_the_order_of_the_record_changes_nothing(record: Record, random: Random) -> None:
    other = Record(
        brews=_shuffled(random, record.brews),
        tests=_shuffled(random, record.tests),
        pairs=_shuffled(random, record.pairs),
        scores=_shuffled(random, record.scores),
        asked=_shuffled(random, record.asked),
        around=_shuffled(random, record.around),
    )
    assert written(other) == written(record)


@settings(max_examples=60, deadline=None)
@given(brews(8))
def test_one_more_brew_never_shrinks_what_was_tested(some: tuple[BrewFacts, ...]) -> None:
    for one in EVERY:
        for most in range(1, len(some)):
            fewer, more = some[:most], some[: most + 1]
            if isinstance(one, Kinds):
                assert one.kinds(fewer) <= one.kinds(more)
                continue
            before, after = one.known(fewer).values(), one.known(more).values()
            if before:
                assert min(after) <= min(before) <= max(before) <= max(after)


@settings(max_examples=60, deadline=None)
@given(records())
def test_every_sentence_is_a_plain_one(record: Record) -> None:
    """No more than two figures, none with more than two that count, but for temperatures and the
    counts; a large letter at the start, a full stop at the end, nothing empty in between."""
    for sentence in written(record).sentences:
        assert figures(sentence) <= 2, sentence
        assert sentence[0].isupper(), sentence
        assert sentence.endswith("."), sentence
        assert not re.search(
            r"  |,,| ,|\(\)|\{|\}|None|: \.|\b1 (days|brews|trials)\b", sentence
        ), sentence
        for number in re.findall(r"\d+(?:\.\d+)?", sentence):
            assert len(number.replace(".", "").strip("0")) <= 2 or number == "100", sentence


@settings(max_examples=60, deadline=None)
@given(records())
def test_nothing_tested_is_called_untested(record: Record) -> None:
    """Words of grinds and materials, which can be told apart in the sentence."""
    within = written(record)
    last = within.sentences[-1]
    if not last.startswith("Not tested"):
        return
    grinds = {brew.grind for brew in record.brews}
    assert not ("finer" in last and "fine" in grinds)
    assert not ("coarser" in last and "coarse" in grinds)
    for material in FILTER_MATERIALS:
        used = any(one.material == material for brew in record.brews for one in brew.filters)
        assert not (used and re.search(rf"\b{material}\b.* filter\b", last))


def test_the_things_are_named_apart() -> None:
    names = [one.name for one in EVERY]
    assert len(set(names)) == len(names)
    assert {type(one) for one in EVERY} == {Numbers, Kinds}
