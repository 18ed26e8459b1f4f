"""Asks are noted, gathered under a question, and taken back; each step is in their history."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import exists, or_, select
from sqlalchemy.orm import Session, aliased

from app.journal.bin import put_in_bin, take_from_bin
from app.journal.history import Thing, record
from app.journal.questions import LINKED
from app.journal.rows import add_row
from app.models import Ask, Change, Question, QuestionGroups, QuestionLeftTest
from app.models.history import FieldText

GATHERED, RELEASED, TAKEN_BACK = "gathered", "sent to the inbox", "taken back"


@dataclass(frozen=True, slots=True)
class AskValues:
    """What somebody asked; without words it only counts, and needs a question."""

    text: str
    asked_on: date
    source: str
    noted_at: datetime
    question_id: int | None = None


def add_asks(session: Session, asks: Iterable[AskValues]) -> list[int]:
    """Their numbers, in the order given."""
    return [add_row(session, Ask(), values).id for values in asks]


def add_new_asks(session: Session, asks: Sequence[AskValues]) -> list[int]:
    """As `add_asks`, but what is here already in the same words, of the same day and source, is
    left out: the list was pasted once before. The same words twice in one list are two asks."""
    same = Ask.text.in_([ask.text for ask in asks]) & Ask.binned_at.is_(None)
    rows = session.execute(select(Ask.text, Ask.asked_on, Ask.source).where(same))
    there = Counter(tuple(row) for row in rows)
    new = []
    for ask in asks:
        key = (ask.text, ask.asked_on, ask.source)
        if there[key]:
            there[key] -= 1
        else:
            new.append(ask)
    return add_asks(session, new)


def gather(
    session: Session, ask_ids: Sequence[int], question_id: int | None, what: str = GATHERED
) -> list[int]:
    """Put asks under a question (None: in the inbox); the numbers of those that moved.

    A question that is left with nothing at all goes into the bin.
    """
    asks = waiting(session, ask_ids)
    moved = [ask for ask in asks if ask.question_id != question_id]
    left = {ask.question_id for ask in moved}
    for ask in moved:
        _move(session, ask, question_id, what)
    session.flush()
    _tidy(session, left)
    return [ask.id for ask in moved]


def take_back(session: Session, ask_ids: Sequence[int]) -> int:
    """Undo the last move of each ask, where that is still the last thing done to it; how many."""
    asks, left, count = waiting(session, ask_ids), set(), 0
    for ask in asks:
        before = _before_the_last_move(session, ask)
        if before is None:
            continue
        left.add(ask.question_id)
        (value,) = before["values"] or [""]  # empty for the inbox
        question = session.get(Question, int(value)) if value else None
        if question is not None:
            take_from_bin(question)
        _move(session, ask, question.id if question else None, TAKEN_BACK)
        count += 1
    session.flush()
    _tidy(session, left)
    return count


@dataclass(frozen=True, slots=True)
class Gathering:
    """Asks that were gathered by one tap, and the question they went under."""

    ask_ids: list[int]
    question_id: int
    text: str


def last_gathering(session: Session) -> Gathering | None:
    """What was gathered last, while nothing else was done to these asks: it can be taken back."""
    latest = session.execute(
        select(Change.changed_at, Ask.question_id)
        .join(Ask, Ask.id == Change.row_id)
        .where(Change.thing == "ask", Change.what == GATHERED)
        .order_by(Change.id.desc())
        .limit(1)
    ).one_or_none()
    if latest is None:
        return None
    later = aliased(Change)
    since = exists().where(
        later.thing == "ask", later.row_id == Change.row_id, later.number > Change.number
    )
    query = (
        select(Ask.id, Question.id.label("question_id"), Question.text)
        .join(Change, Change.row_id == Ask.id)
        .join(Question, Question.id == Ask.question_id)
        .where(Change.thing == "ask", Change.what == GATHERED, ~since)
        .where(Change.changed_at == latest.changed_at, Ask.question_id == latest.question_id)
        .where(Ask.binned_at.is_(None), Question.binned_at.is_(None))
        .order_by(Ask.id)
    )
    rows = session.execute(query).all()
    if not rows:
        return None
    return Gathering([row.id for row in rows], rows[0].question_id, rows[0].text)


def waiting(session: Session, ask_ids: Sequence[int]) -> Sequence[Ask]:
    """Those of the asks that are not in the bin; whoever moves one at this moment waits."""
    query = select(Ask).where(Ask.id.in_(ask_ids), Ask.binned_at.is_(None)).order_by(Ask.id)
    return session.scalars(query.with_for_update()).all()


def _move(session: Session, ask: Ask, question_id: int | None, what: str) -> None:
    before = _as_form(session, ask)
    if question_id is None and not ask.text:
        ask.text = session.get_one(Question, ask.question_id).text
    ask.question_id = question_id
    record(session, Thing("ask", ask.id), before, [_under(session, question_id)], what)


def _as_form(session: Session, ask: Ask) -> list[FieldText]:
    """The whole ask as its form would send it, so that it can be brought back there."""
    fields = {
        "In their own words": ("text", ask.text),
        "Asked on": ("asked_on", ask.asked_on.isoformat()),
        "Where it came from": ("source", ask.source),
    }
    texts: list[FieldText] = [
        {
            "name": name,
            "label": label,
            "values": [value] if value else [],
            "shown": "",
            "unit": None,
        }
        for label, (name, value) in fields.items()
    ]
    return [*texts, _under(session, ask.question_id)]


def _under(session: Session, question_id: int | None) -> FieldText:
    """The question of an ask as the history keeps a field."""
    question = session.get(Question, question_id) if question_id else None
    return {
        "name": "question_id", "label": "Question", "unit": None,
        "values": [str(question.id)] if question else [],
        "shown": question.text if question else "in the inbox",
    }  # fmt: skip


def _before_the_last_move(session: Session, ask: Ask) -> FieldText | None:
    last = session.scalars(
        select(Change)
        .where(Change.thing == "ask", Change.row_id == ask.id)
        .order_by(Change.number.desc())
        .limit(1)
    ).one_or_none()
    if last is None or last.what not in (GATHERED, RELEASED):
        return None
    return next(text for text in last.before if text["name"] == "question_id")


def _tidy(session: Session, question_ids: Iterable[int | None]) -> None:
    """Put questions in the bin that have neither asks nor evidence nor an answer any more."""
    now = session.info["now"]
    for question_id in question_ids:
        question = session.get(Question, question_id) if question_id else None
        if question is not None and not question.answer and not _holds(session, question.id):
            put_in_bin(question, now)


def _holds(session: Session, question_id: int) -> bool:
    kept = [exists().where(tied.link.question_id == question_id) for tied in LINKED.values()]
    for table in (QuestionLeftTest, QuestionGroups):
        kept.append(exists().where(table.question_id == question_id))
    kept.append(exists().where(Ask.question_id == question_id, Ask.binned_at.is_(None)))
    return bool(session.scalar(select(or_(*kept))))
