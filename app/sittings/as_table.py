"""Sittings as a table."""

from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import NamedTuple

from sqlalchemy.orm import Session

from app.journal.as_table import columns, in_batches
from app.journal.sittings.reading import questions_of
from app.models import Sitting


class SittingLine(NamedTuple):
    id: int
    planned_at: datetime
    ended_at: datetime | None
    questions: list[str]


SITTING_COLUMNS = columns("sitting", SittingLine)


def sitting_lines(session: Session, sittings: Iterable[Sitting]) -> Iterator[SittingLine]:
    for batch in in_batches(sittings):
        texts: dict[int, list[str]] = {}
        for row in questions_of(session, [one.id for one in batch]):
            texts.setdefault(row.sitting_id, []).append(row.text)
        for one in batch:
            yield SittingLine(one.id, one.planned_at, one.ended_at, texts.get(one.id, []))
