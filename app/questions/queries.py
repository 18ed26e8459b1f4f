"""Reading questions: the list, sorted and narrowed."""

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from typing import Literal, NamedTuple

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from app.journal.asks.reading import times_asked
from app.journal.asks.wording import topics_of
from app.journal.gathered.strength import LEVELS, strengths
from app.journal.pairs.setup import FAMILIES
from app.journal.questions import LINKED, Linked
from app.journal.rows import columns_of, rows_as
from app.journal.sittings.reading import planned_question_ids
from app.models import Ask, Question
from app.sensory.gathered.weight import Level
from app.text import search_text

MOST_WORDS = 8

State = Literal["open", "planned", "answered", "set aside"]
STATES: tuple[State, ...] = ("open", "planned", "answered", "set aside")
SORTS = {
    "state": "state", "often": "how often asked", "evidence": "strength", "newest": "newest",
}  # fmt: skip


class QuestionRow(NamedTuple):
    """A question in a list, how often it was asked, and how many of each kind are under it."""

    id: int
    text: str
    factors: list[str]
    state: str
    asked_at: datetime
    answered_at: datetime | None
    answer: str
    times: int
    brews: int
    side_by_sides: int
    blind_tests: int


@dataclass(frozen=True, slots=True)
class Listed:
    """A question in the list; `state` knows of sittings, too."""

    row: QuestionRow
    state: State
    level: Level


@dataclass(frozen=True, slots=True)
class Wanted:
    """How the list is narrowed and sorted; what is not known says nothing."""

    words: str = ""
    state: str = ""
    about: str = ""
    sort: str = "state"

    def listed(self, rows: Iterable[Listed], asked_in: Mapping[int, str]) -> list[Listed]:
        words = search_text(self.words).split()[:MOST_WORDS]
        labels = set(FAMILIES.get(self.about, ()))
        found = [
            one for one in rows
            if self.state not in STATES or one.state == self.state
            if not labels or labels.intersection(one.row.factors)
            if not words or _says(one.row, asked_in.get(one.row.id, ""), words)
        ]  # fmt: skip
        return sorted(found, key=self._order)

    def _order(self, one: Listed) -> tuple[float, ...]:
        newest = (-one.row.asked_at.timestamp(), -float(one.row.id))
        often = (-float(one.row.times), *newest)
        orders: dict[str, tuple[float, ...]] = {
            "often": often,
            "evidence": (float(LEVELS.index(one.level)), *often),
            "newest": newest,
        }
        return orders.get(self.sort, (float(STATES.index(one.state)), *often))


def wanted(given: Mapping[str, str]) -> Wanted:
    """As the address of the list says it."""
    words, state, about = (given.get(name, "") for name in ("q", "state", "about"))
    return Wanted(words, state, about, given.get("sort", "state"))


def parts(rows: Sequence[Listed], given: Mapping[str, str]) -> list[tuple[str, list[Listed]]]:
    """The rows under the names of their states; under none where they are sorted otherwise."""
    if given.get("sort") in set(SORTS) - {"state"}:
        return [("", list(rows))] if rows else []
    return [(state, list(part)) for state, part in groupby(rows, lambda one: one.state)]


def _says(row: QuestionRow, asked_in: str, words: list[str]) -> bool:
    """Whether every word, or what it means ("paper" for "filter"), is said by the question, its
    answer, what it is about or those who asked."""
    text = search_text(row.text, row.answer, *row.factors, asked_in)
    topics: set[str] = set()
    for part in (row.text, asked_in):
        topics.update(topics_of(part))
    return all(word in text or topics.intersection(topics_of(word)) for word in words)


def read_list(session: Session, wanted: Wanted, now: datetime) -> list[Listed]:
    """The whole list, in a number of statements that stays the same.

    Words are compared here, not in the database: SQLite folds the case of ASCII letters only.
    """
    counts = {f"{kind}s": _count(tied) for kind, tied in LINKED.items()}
    query = select(*columns_of(QuestionRow, Question, times=times_asked(), **counts))
    rows = rows_as(QuestionRow, session, query.where(Question.binned_at.is_(None)))
    levels, planned = strengths(session, now), planned_question_ids(session)
    every = [Listed(row, _state(row, planned), levels[row.id]) for row in rows]
    return wanted.listed(every, _asked_in(session) if wanted.words else {})


def _state(row: QuestionRow, planned: Set[int]) -> State:
    if row.state == "open" and row.id in planned:
        return "planned"
    return next(state for state in STATES if state == row.state)


def _asked_in(session: Session) -> dict[int, str]:
    """The words that each question was asked in."""
    query = select(Ask.question_id, Ask.text).where(
        Ask.question_id.is_not(None), Ask.binned_at.is_(None)
    )
    found: dict[int, list[str]] = {}
    for question_id, text in session.execute(query):
        found.setdefault(question_id or 0, []).append(text)
    return {question_id: " ".join(texts) for question_id, texts in found.items()}


def _count(tied: Linked) -> ColumnElement[int]:
    """How many things of a kind are under a question, those in the bin left out."""
    return (
        select(func.count())
        .select_from(tied.link)
        .join(tied.thing, tied.thing.id == tied.column)
        .where(tied.link.question_id == Question.id, tied.thing.binned_at.is_(None))
        .correlate(Question)
        .scalar_subquery()
    )
