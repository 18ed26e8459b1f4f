"""The inbox in order: asks that may be one question together, and the question there is already."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.asks.reading import AskRow, inbox
from app.journal.asks.similar import ALIKE, likeness, shared_topics, suggest
from app.journal.rows import columns_of, rows_as
from app.models import Ask, Question
from app.models.base import WORDS_CHARS

MOST_SHOWN = 200
MOST_IN_ONE = 60  # asks that one tap gathers
MOST_COMPARED = 250  # questions, the newest; and as many of their asks
MOST_NEAR, WORTH_OFFERING = 5, 0.3
# What a question is about, by the topics of its asks.
FACTORS = {
    "paper": "filter", "metal": "filter", "cloth": "filter", "two papers": "filter",
    "used again": "use of the filter", "heat": "water temperature", "grind": "grind",
    "grinder": "grinder", "stir": "stirs", "steep": "steep", "age": "days of rest",
    "kind of water": "kettle water", "flipped": "upright or flipped", "ice": "ice",
    "press": "press time", "dose": "dose", "dilute": "bypass water", "brewer": "brewer",
}  # fmt: skip


class Known(NamedTuple):
    """A question that asks may belong to."""

    id: int
    text: str
    state: str


@dataclass(frozen=True, slots=True)
class Near:
    """A question and how like it some asks are; `alike` enough to be suggested."""

    question: Known
    likeness: float

    @property
    def alike(self) -> bool:
        return self.likeness >= ALIKE


@dataclass(frozen=True, slots=True)
class Together:
    """Asks that may be one question, the clearest first, and the questions nearest to them.

    `topics` are what most of them share, `text` what a new question could say.
    """

    asks: list[AskRow]
    topics: list[str]
    text: str
    near: list[Near]

    @property
    def question(self) -> Known | None:
        """The question they may belong to."""
        return self.near[0].question if self.near and self.near[0].alike else None


@dataclass(frozen=True, slots=True)
class Inbox:
    """`alone` are asks nothing is like; `older` is the number that those not compared with these
    lie below, if there are any."""

    together: list[Together]
    alone: list[AskRow]
    older: int | None

    @property
    def count(self) -> int:
        return len(self.alone) + sum(len(one.asks) for one in self.together)


def read_inbox(session: Session, before: int | None = None) -> Inbox:
    """The asks noted last, or last before the one with a number, in four statements."""
    rows = inbox(session, MOST_SHOWN + 1, before)
    asks, more = rows[:MOST_SHOWN][::-1], len(rows) > MOST_SHOWN
    known = _known(session) if asks else {}
    groups = [[asks[n] for n in places] for places in suggest([ask.text for ask in asks])]
    grouped = {ask.id for group in groups for ask in group}
    groups += [[ask] for ask in asks if ask.id not in grouped]
    belong: dict[int, tuple[list[AskRow], list[Near]]] = {}
    together, alone = [], []
    for group in groups:
        near = _nearest(group, known)
        if near and near[0].alike:
            belong.setdefault(near[0].question.id, ([], near))[0].extend(group)
        elif len(group) > 1:
            together += _together(group, near)
        else:
            alone += group
    together += [part for group, near in belong.values() for part in _together(group, near)]
    together.sort(key=lambda one: (-len(one.asks), one.asks[0].id))
    return Inbox(together, alone, asks[0].id if more else None)


def factors_of(texts: Sequence[str]) -> list[str]:
    """What a question with these asks is about, as labels of a setup: what most of them name."""
    topics = shared_topics(texts)
    labels = [FACTORS[topic] for topic in topics if topic in FACTORS]
    if "use of the filter" in labels and not {"metal", "cloth", "two papers"}.intersection(topics):
        labels = [label for label in labels if label != "filter"]
    return list(dict.fromkeys(labels))


def _together(asks: list[AskRow], near: list[Near]) -> list[Together]:
    """In parts where they are very many: once one is gathered, the next is like its question."""
    texts = [ask.text for ask in asks]
    return [
        Together(asks[n : n + MOST_IN_ONE], shared_topics(texts), texts[0][:WORDS_CHARS], near)
        for n in range(0, len(asks), MOST_IN_ONE)
    ]


def _known(session: Session) -> dict[Known, list[str]]:
    """Questions with the words they were asked in, the newest first."""
    query = select(*columns_of(Known, Question)).where(Question.binned_at.is_(None))
    questions = rows_as(Known, session, query.order_by(Question.id.desc()).limit(MOST_COMPARED))
    found = {question: [question.text] for question in questions}
    by_id = {question.id: question for question in questions}
    words = select(Ask.question_id, Ask.text).where(
        Ask.question_id.in_(by_id), Ask.binned_at.is_(None), Ask.text != ""
    )
    for question_id, text in session.execute(words.order_by(Ask.id.desc()).limit(MOST_COMPARED)):
        if question_id:
            found[by_id[question_id]].append(text)
    return found


def _nearest(asks: Sequence[AskRow], known: Mapping[Known, Sequence[str]]) -> list[Near]:
    """The questions these asks are most like: their words, or those they were asked in."""
    texts, found = [ask.text for ask in asks], []
    for question, (text, *others) in known.items():
        near = _mean_likeness(texts, [text])
        if others:
            near = max(near, _mean_likeness(texts, others))
        if near >= WORTH_OFFERING:
            found.append(Near(question, near))
    return sorted(found, key=lambda one: -one.likeness)[:MOST_NEAR]


def _mean_likeness(some: Sequence[str], others: Sequence[str]) -> float:
    total = sum(likeness(one, other) for one in some for other in others)
    return total / (len(some) * len(others))
