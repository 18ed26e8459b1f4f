"""Saved comparisons: which cup was preferred, and a note."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import datetime
from functools import cache
from typing import NamedTuple

from sqlalchemy import select
from sqlalchemy.orm import Session, aliased

from app.journal.paging import Page, read_page
from app.journal.rows import Query, columns_of, rows_as
from app.models import Bag, Bean, Brew, SideBySide

MOST_SAVED = 20


@dataclass(frozen=True, slots=True)
class Comparison:
    """What is saved: two brews, the `preference` (one of PREFERENCES), and a note."""

    brew_a_id: int
    brew_b_id: int
    preference: str
    note: str


def save_comparison(session: Session, comparison: Comparison, now: datetime) -> SideBySide:
    """Save within the caller's transaction."""
    saved = SideBySide(saved_at=now, **asdict(comparison))
    session.add(saved)
    return saved


class SavedPair(NamedTuple):
    """A saved comparison, with the bean and the time of both brews."""

    id: int
    brew_a_id: int
    brew_b_id: int
    saved_at: datetime
    preference: str
    note: str
    bean_a: str
    bean_b: str
    brewed_a: datetime
    brewed_b: datetime
    zone_a: str
    zone_b: str


@cache
def _saved() -> Query:
    """Saved comparisons, not in the bin."""
    a, b, bag_a, bag_b = aliased(Brew), aliased(Brew), aliased(Bag), aliased(Bag)
    bean_a, bean_b = aliased(Bean), aliased(Bean)
    columns = columns_of(
        SavedPair, SideBySide, bean_a=bean_a.name, bean_b=bean_b.name,
        brewed_a=a.brewed_at, brewed_b=b.brewed_at, zone_a=a.zone, zone_b=b.zone,
    )  # fmt: skip
    return (
        select(*columns)
        .join(a, a.id == SideBySide.brew_a_id)
        .join(b, b.id == SideBySide.brew_b_id)
        .join(bag_a, bag_a.id == a.bag_id)
        .join(bag_b, bag_b.id == b.bag_id)
        .join(bean_a, bean_a.id == bag_a.bean_id)
        .join(bean_b, bean_b.id == bag_b.bean_id)
        .where(SideBySide.binned_at.is_(None))
    )


def saved_page(session: Session, args: Mapping[str, str]) -> Page[SavedPair]:
    return read_page(
        lambda query: rows_as(SavedPair, session, query),
        _saved(),
        SideBySide.saved_at,
        SideBySide.id,
        lambda row: (row.saved_at, row.id),
        args,
    )


def saved_with(session: Session, *brew_ids: int) -> list[SavedPair]:
    """Comparisons saved of a brew or, whichever way round, of two; newest first."""
    of_each = [(SideBySide.brew_a_id == n) | (SideBySide.brew_b_id == n) for n in brew_ids]
    newest = (SideBySide.saved_at.desc(), SideBySide.id.desc())
    query = _saved().where(*of_each).order_by(*newest).limit(MOST_SAVED)
    return rows_as(SavedPair, session, query)
