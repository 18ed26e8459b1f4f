"""What is said of a trial once its key was shown: a preference and a note.

Both are kept apart from the answer. No verdict, evidence, claim or trend reads them, nor the
tastings that follow (`tastings.counted`): who has just chosen a cup is swayed by it (ISO 4120).
"""

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.rows import columns_of, row_as, rows_as, set_columns
from app.models import Afterthought, Trial
from app.models.blind_after import AfterthoughtValues


class AfterthoughtRow(NamedTuple):
    """`id` is the number of the trial."""

    id: int
    noted_at: datetime
    preference: str | None
    note: str

    @property
    def says_anything(self) -> bool:
        return bool(self.preference or self.note)


def afterthought_of(session: Session, trial_id: int) -> AfterthoughtRow | None:
    query = select(*columns_of(AfterthoughtRow, Afterthought))
    return row_as(AfterthoughtRow, session, query.where(Afterthought.id == trial_id))


def afterthoughts_of(session: Session, test_id: int) -> dict[int, AfterthoughtRow]:
    """What was said afterwards of a test's trials, by the trial's number in the journal."""
    query = select(*columns_of(AfterthoughtRow, Afterthought)).join(
        Trial, Trial.id == Afterthought.id
    )
    rows = rows_as(AfterthoughtRow, session, query.where(Trial.test_id == test_id))
    return {row.id: row for row in rows if row.says_anything}


def keep_afterthought(
    session: Session, trial_id: int, values: AfterthoughtValues, now: datetime
) -> None:
    """Note what is said of a trial; whoever asks has seen to it that its key was shown."""
    row = session.get(Afterthought, trial_id)
    if row is None:
        row = Afterthought(id=trial_id, noted_at=now)
        session.add(row)
    set_columns(row, values)
    session.flush()
