"""How strong the evidence under many questions is, by the rule of their own pages."""

from collections.abc import Mapping
from datetime import datetime
from functools import cache
from typing import NamedTuple

from sqlalchemy import distinct, func, select
from sqlalchemy.orm import Session

from app.database import while_unchanged
from app.formats import Formats
from app.journal.families import read_families
from app.journal.gathered.evidence import pair_line, weight_of
from app.journal.gathered.tied import TiedPair
from app.journal.groups.links import groups_by_question
from app.journal.pairs.pair import read_sides
from app.journal.rows import Query, columns_of, rows_as, split_rows
from app.journal.tastings import counted
from app.models import Brew, Question, QuestionBrew, QuestionSideBySide, SideBySide, Tasting
from app.sensory.gathered.weight import Level

# From strong to weak, as a list that is sorted by it stands.
LEVELS: tuple[Level, ...] = (
    "shown", "close enough", "shown for two cups", "close enough for two cups", "hint", "mixed",
    "anecdote", "none",
)  # fmt: skip


class _Scored(NamedTuple):
    """How many brews under a question were scored."""

    question_id: int
    brews: int


class _About(NamedTuple):
    id: int
    factors: list[str]


class _Under(NamedTuple):
    question_id: int


def strengths(session: Session, now: datetime) -> Mapping[int, Level]:
    """The level of every question that is not in the bin, in a number of statements that stays the
    same; as of `now` or the last change, whichever is earlier."""
    return while_unchanged(session, "strengths", lambda: _strengths(session, now))


def _strengths(session: Session, now: datetime) -> dict[int, Level]:
    about = select(*columns_of(_About, Question)).where(Question.binned_at.is_(None))
    factors = {row.id: row.factors for row in rows_as(_About, session, about)}
    families = read_families(session, factors, now)
    pairs: dict[int, list[TiedPair]] = {}
    for under, row in split_rows(_Under, TiedPair, session, _pairs_of()):
        pairs.setdefault(under.question_id, []).append(row)
    preferred = [row for rows in pairs.values() for row in rows]
    brews = {brew_id for row in preferred for brew_id in (row.brew_a_id, row.brew_b_id)}
    sides = read_sides(session, brews)
    scored = {row.question_id: row.brews for row in rows_as(_Scored, session, _scored())}
    of_cups, found = groups_by_question(session), {}
    for question_id, labels in factors.items():
        compared = [pair_line(row, sides, labels, Formats()) for row in pairs.get(question_id, ())]
        members, brews_scored = families.get(question_id, []), scored.get(question_id, 0)
        groups = len(of_cups.get(question_id, ()))
        found[question_id] = weight_of(members, compared, brews_scored, groups).level
    return found


@cache
def _pairs_of() -> Query:
    """Side by sides with a preference, in the bin or not: without one none is counted."""
    columns = (QuestionSideBySide.question_id, *columns_of(TiedPair, SideBySide))
    query = select(*columns).join(
        QuestionSideBySide, QuestionSideBySide.side_by_side_id == SideBySide.id
    )
    return query.where(SideBySide.preference.is_not(None))


@cache
def _scored() -> Query:
    brews = func.count(distinct(QuestionBrew.brew_id)).label("brews")
    return (
        select(QuestionBrew.question_id, brews)
        .join(Brew, Brew.id == QuestionBrew.brew_id)
        .join(Tasting, Tasting.brew_id == Brew.id)
        .where(Brew.binned_at.is_(None), Tasting.liking.is_not(None), *counted())
        .group_by(QuestionBrew.question_id)
    )
