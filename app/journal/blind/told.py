"""What tells blind tests of one title apart in a list, in a few words."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from itertools import groupby
from typing import NamedTuple, Protocol

from sqlalchemy import select

from app.formats import Formats, ordinal
from app.journal.rows import Query, columns_of
from app.models import BlindTest
from app.sensory.blind.methods import name_of
from app.sensory.terms import Method


class Titled(Protocol):
    """A row of a list of blind tests."""

    @property
    def id(self) -> int: ...
    @property
    def title(self) -> str: ...
    @property
    def a_words(self) -> str: ...
    @property
    def b_words(self) -> str: ...
    @property
    def method(self) -> Method: ...
    @property
    def made_at(self) -> datetime: ...


class NamedTest(NamedTuple):
    id: int
    title: str
    a_words: str
    b_words: str
    method: Method
    made_at: datetime


def named_tests() -> Query:
    """Columns of `NamedTest`."""
    return select(*columns_of(NamedTest, BlindTest))


def titles_told_apart(tests: Sequence[Titled], formats: Formats) -> dict[int, str]:
    """By id, what those tests have for themselves that share their title: the cups, the method,
    the day they were planned, else their order."""
    by_title = sorted(tests, key=lambda test: (test.title, test.made_at, test.id))
    return {
        test_id: words
        for _, same in groupby(by_title, key=lambda test: test.title)
        for test_id, words in _each(list(same), formats)
    }


def titles_in_words(tests: Sequence[Titled], formats: Formats) -> list[tuple[int, str]]:
    """(id, words) for a list to pick from."""
    told = titles_told_apart(tests, formats)
    return [
        (test.id, f"{test.title}: {told[test.id]}" if test.id in told else test.title)
        for test in tests
    ]


def _each(same: Sequence[Titled], formats: Formats) -> Iterable[tuple[int, str]]:
    if len(same) < 2:
        return
    texts = (
        [f"{test.a_words} against {test.b_words}" for test in same],
        [name_of(test.method) for test in same],
        [f"planned on {formats.day(test.made_at.date())}" for test in same],
    )
    telling = [of_all for of_all in texts if len(set(of_all)) > 1]
    for place, test in enumerate(same):
        own = [of_all[place] for of_all in telling]
        alone = sum(own == [of_all[other] for of_all in telling] for other in range(len(same))) == 1
        yield test.id, ", ".join(own if alone else [*own, f"{ordinal(place + 1)} of {len(same)}"])
