"""Filters to brew with: fresh ones taken out of a pack, and those in use."""

from collections.abc import Iterable, Sequence
from datetime import date
from functools import cache
from typing import NamedTuple

from sqlalchemy import bindparam, select
from sqlalchemy.orm import Session

from app.journal.rows import Query, columns_of, rows_as
from app.journal.uses import last_use, uses_of
from app.models import Brew, Filter, FilterPack

NOT_GONE = (
    Filter.retired_on.is_(None), Filter.binned_at.is_(None), FilterPack.binned_at.is_(None),
)  # fmt: skip


class OnHand(NamedTuple):
    """A filter not retired: its uses so far, and when it was last used."""

    filter_id: int
    pack_id: int
    pack_name: str
    filter_number: int
    material: str
    uses: int
    last_on: date | None

    @property
    def name(self) -> str:
        return f"{self.pack_name} no. {self.filter_number}"

    @property
    def state(self) -> str:
        return "in use" if self.uses else "fresh"


def on_hand(session: Session, also: Iterable[int] = (), most: int = 30) -> list[OnHand]:
    """Filters to brew with, last used first, and those in `also` even if retired or old."""
    rows = rows_as(OnHand, session, _usable(), {"most": most})
    missing = set(also) - {row.filter_id for row in rows}
    if missing:
        rows += rows_as(OnHand, session, _hand_rows().where(Filter.id.in_(missing)))
    return rows


def hand_of_packs(session: Session, pack_ids: Iterable[int]) -> list[OnHand]:
    """All filters of these packs that were taken out and can still be brewed with."""
    query = _hand_rows().where(*NOT_GONE, Filter.pack_id.in_(list(pack_ids)))
    return rows_as(OnHand, session, query.order_by(Filter.id))


@cache
def _usable() -> Query:
    last_at = last_use(Brew.brewed_at)
    return (
        _hand_rows()
        .where(*NOT_GONE)
        .order_by(last_at.is_(None), last_at.desc(), Filter.id.desc())
        .limit(bindparam("most"))
    )


def _hand_rows() -> Query:
    columns = columns_of(
        OnHand, Filter, filter_id=Filter.id, filter_number=Filter.number,
        pack_name=FilterPack.name, material=FilterPack.material,
        uses=Filter.prior_uses + uses_of(Filter), last_on=last_use(Brew.brewed_on),
    )  # fmt: skip
    return select(*columns).join(FilterPack, FilterPack.id == Filter.pack_id)


def last_brewers(session: Session, filter_ids: Sequence[int]) -> dict[int, int]:
    """Which brewer each filter was last used in, by filter; one never used is left out."""
    if not filter_ids:
        return {}
    query = select(Filter.id, last_use(Brew.brewer_id)).where(Filter.id.in_(filter_ids))
    return {row[0]: row[1] for row in session.execute(query) if row[1] is not None}
