"""Bags as a table, and one bag's cups over its days as its charts have them."""

from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.bags.lists import Wanted, mean_liking_of, narrowed
from app.journal.as_table import WITH_UNIT, Column, columns, of_part
from app.journal.bags import left_g
from app.journal.brews import newest_ids
from app.journal.cups_as_table import CUP_COLUMNS, TableCup, table_cups
from app.journal.rows import columns_of, rows_as
from app.journal.scores import Score, scores_of_brews
from app.models import Bag, Bean, Brew
from app.money import from_minor


class BagLine(NamedTuple):
    id: int
    bean: str
    roaster: str
    origin: str
    process: str
    robusta_pct: float
    decaf: bool
    roasted_on: date | None
    opened_on: date | None
    finished_on: date | None
    net_g: float | None
    left_g: float | None
    brews: int
    mean_liking_1_to_9: float | None
    price_minor: int | None
    currency: str
    buy_again: str
    buy_again_note: str
    note: str


def _price(bag: BagLine, _zone: str) -> float | None:
    return None if bag.price_minor is None else from_minor(bag.price_minor, bag.currency)


BAG_COLUMNS: list[Column[BagLine]] = [
    Column("price", _price) if column.name == "price_minor" else column
    for column in columns("bag", BagLine)
]


def every_bag(session: Session, wanted: Wanted) -> list[BagLine]:
    """Open and finished ones, the last added first."""
    of_bag = (Brew.bag_id == Bag.id, Brew.binned_at.is_(None))
    brews = select(func.count()).select_from(Brew).where(*of_bag).correlate(Bag).scalar_subquery()
    named = {
        name: getattr(Bean, name)
        for name in ("roaster", "origin", "process", "robusta_pct", "decaf")
    }
    query = select(*columns_of(
        BagLine, Bag, bean=Bean.name, left_g=left_g(Bag), brews=brews,
        mean_liking_1_to_9=mean_liking_of(Bag), **named,
    )).join(Bean, Bean.id == Bag.bean_id)  # fmt: skip
    return rows_as(BagLine, session, narrowed(query, wanted).order_by(Bag.id.desc()))


class CupScored(NamedTuple):
    """A cup and one score of it; None where it has none."""

    cup: TableCup
    score: Score | None

    @property
    def zone(self) -> str:
        return self.cup.zone


def cups_scored(session: Session, bag_id: int, most: int) -> Iterator[CupScored]:
    """The bag's latest cups from the oldest on, with a row for each score."""
    ids = newest_ids(session, most, Brew.bag_id == bag_id)[::-1]
    scores: dict[int, list[Score]] = {}
    for score in scores_of_brews(session, ids):
        scores.setdefault(score.brew_id, []).append(score)
    for cup in table_cups(session, ids):
        own = scores.get(cup.named.id, [])
        yield from (CupScored(cup, one) for one in own)
        if not own:
            yield CupScored(cup, None)


def _cup(row: CupScored) -> TableCup:
    return row.cup


SERIES_COLUMNS: list[Column[CupScored]] = [
    *of_part(_cup, (one for one in CUP_COLUMNS if one.name not in ("mean_liking_1_to_9", "note"))),
    Column("taster", lambda row, _zone: row.score and row.score.taster_name),
    Column("tasted_blind", lambda row, _zone: row.score and row.score.blind),
    Column(WITH_UNIT["liking"], lambda row, _zone: row.score and row.score.liking),
    *of_part(_cup, (one for one in CUP_COLUMNS if one.name == "note")),
]
