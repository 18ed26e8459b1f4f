"""Reading keys: each query carries the condition under which its key may be seen in its WHERE.

A key leaves the database for who pours, until it was covered, and once it was answered.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session

from app.journal.blind.open import OPEN_COLUMNS, is_answered
from app.models import Taster, Trial

KEY_COLUMNS: tuple[Any, ...] = (Trial.cups, Trial.is_control, Trial.brewed_first)


def answered(session: Session, test_ids: Iterable[int]) -> dict[int, list[Any]]:
    """Finished trials with their keys by test, in the order answered.

    Poured solo, a trial is finished once the mark under the cup was read.
    """
    query = (
        select(*OPEN_COLUMNS, *KEY_COLUMNS)
        .join(Taster, Taster.id == Trial.taster_id)
        .where(Trial.test_id.in_(list(test_ids)), is_answered())
        .order_by(Trial.answered_at, Trial.id)
    )
    found: dict[int, list[Any]] = {}
    for row in session.execute(query):
        found.setdefault(row.test_id, []).append(row)
    return found


def key_for_pourer(session: Session, trial_id: int, token_hash: str) -> Any | None:
    """The key for the browser that claimed the trial, until it covered it."""
    claimed = (Trial.poured_by == token_hash, Trial.pouring != "solo")
    return _key(session, trial_id, Trial.served_at.is_(None), *claimed)


def keys_for_pourer(session: Session, test_id: int, token_hash: str) -> dict[int, Any]:
    """The keys of all trials of a test that the browser claimed and has not covered, by trial."""
    query = select(Trial.id, *KEY_COLUMNS).where(
        Trial.test_id == test_id,
        Trial.voided_at.is_(None),
        Trial.served_at.is_(None),
        Trial.poured_by == token_hash,
        Trial.pouring != "solo",
    )
    return {row.id: row for row in session.execute(query)}


def key_for_solo(session: Session, trial_id: int) -> Any | None:
    """Which mark gets which brew, until the tray was turned."""
    return _key(session, trial_id, Trial.served_at.is_(None), Trial.pouring == "solo")


def key_of_answered(session: Session, trial_id: int) -> Any | None:
    """The key of a finished trial."""
    return _key(session, trial_id, is_answered())


def _key(session: Session, trial_id: int, *allowed: ColumnElement[bool]) -> Any | None:
    query = select(*KEY_COLUMNS).where(Trial.id == trial_id, Trial.voided_at.is_(None), *allowed)
    return session.execute(query).first()
