"""What of blind tests travels: the keys of what was revealed, and nothing of the others.

A trial's key is revealed once it is finished (answered, and its mark read or overdue) and its test
hides no results. Of any other trial a row of `left_trial` says that it was drawn and how far it
came: neither its cups nor its codes, nor what was answered. Packets and brews of such trials stay
behind with them.
"""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import (
    ColumnElement,
    Select,
    Table,
    and_,
    case,
    exists,
    null,
    or_,
    select,
    union_all,
)
from sqlalchemy.orm import Session

from app.journal.blind.open import is_finished
from app.models import BlindTest, BlindTestUse, LeftTrial, Trial, TrialBrew

# Tables whose rows belong to one trial, by the column that says which.
OF_A_TRIAL = {"trial": "id", "trial_brew": "trial_id", "afterthought": "id"}


def revealed(now: datetime) -> Select[int]:
    """The ids of trials whose key was revealed."""
    query = select(Trial.id).join(BlindTest, BlindTest.id == Trial.test_id)
    shown = or_(
        and_(BlindTest.balanced.is_(False), BlindTest.controls == 0), BlindTest.ended.is_not(None)
    )
    return query.where(is_finished(now), Trial.voided_at.is_(None), shown)


def rows_of(table: Table, now: datetime) -> Select[*tuple[object, ...]]:
    """The rows of a table that travel, with its columns in order."""
    query = select(*table.columns)
    if table.name in OF_A_TRIAL:
        return query.where(table.c[OF_A_TRIAL[table.name]].in_(revealed(now)))
    if table.name == "blind_packet":
        return query.where(table.c.trial_id.in_(revealed(now)))
    if table.name == "blind_test_use":
        return query.where(~_of_a_hidden_trial(now))
    if table.name == "left_trial":
        rows = union_all(query, _left(now)).subquery()
        return select(*rows.c)
    if table.name == "tasting":
        after = table.c.after_trial_id
        known = case((after.in_(revealed(now)), after), else_=null()).label(after.name)
        return select(*(known if column is after else column for column in table.columns))
    return query


def left_behind(session: Session, now: datetime) -> dict[str, int]:
    """How many trials of open tests, by the title of the test, leave their keys behind."""
    query = (
        select(BlindTest.title, Trial.id)
        .join(Trial, Trial.test_id == BlindTest.id)
        .where(Trial.id.not_in(revealed(now)), Trial.voided_at.is_(None))
        .order_by(BlindTest.id)
    )
    counted: dict[str, int] = {}
    for title, _ in session.execute(query):
        counted[title] = counted.get(title, 0) + 1
    return counted


def _left(now: datetime) -> Select[*tuple[object, ...]]:
    """The trials whose keys stay, as rows of `left_trial`."""
    columns = (getattr(Trial, name) for name in LeftTrial.__mapper__.columns.keys())  # noqa: SIM118 - no dict
    return select(*columns).where(Trial.id.not_in(revealed(now)))


def _of_a_hidden_trial(now: datetime) -> ColumnElement[bool]:
    """Which use the brew of a trial was may tell which cup it was."""
    return exists(
        select(TrialBrew.trial_id)
        .join(Trial, Trial.id == TrialBrew.trial_id)
        .where(Trial.test_id == BlindTestUse.test_id, TrialBrew.brew_id == BlindTestUse.brew_id)
        .where(Trial.id.not_in(revealed(now)))
    )
