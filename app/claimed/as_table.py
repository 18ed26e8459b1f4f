"""The list of claims as a table."""

from datetime import datetime
from typing import NamedTuple

from app.journal.as_table import columns
from app.journal.claims import Claimed
from app.models import Question


class ClaimLine(NamedTuple):
    """`chance` is how often luck alone brings one to it."""

    kind: str
    row_id: int
    text: str
    at: datetime
    strength: str
    says: str
    chance: float
    evidence: float
    stands_alone: bool
    in_the_bin: bool
    answer: str


CLAIM_COLUMNS = columns("claim", ClaimLine)


def claim_line(row: Claimed) -> ClaimLine:
    of = row.of
    kind, text, answer = (
        ("question", of.text, of.answer)
        if isinstance(of, Question)
        else ("blind test", of.title, "")
    )
    return ClaimLine(
        kind, of.id, text, row.at, row.level, row.sentence, row.chance, row.evidence, row.stands,
        of.binned_at is not None, answer,
    )  # fmt: skip
