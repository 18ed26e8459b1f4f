"""Writing beans and bags, within the caller's transaction."""

from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.rows import set_columns
from app.models import Bag, BagCorrection, Bean, FrozenSpan
from app.models.beans import BagValues, BeanValues


def add_bag(session: Session, values: BagValues, bean: BeanValues | int) -> Bag:
    """A bag of a new bean, or of the one with this id; flushed, so that it has its id."""
    if isinstance(bean, BeanValues):
        row = Bean()
        set_columns(row, bean)
        session.add(row)
        session.flush()
        bean = row.id
    bag = Bag(bean_id=bean)
    set_columns(bag, values)
    session.add(bag)
    session.flush()
    return bag


def change_bag(session: Session, bag: Bag, values: BagValues, bean: BeanValues) -> None:
    """Change a bag and its bean; the bean changes for all its bags."""
    set_columns(session.get_one(Bean, bag.bean_id), bean)
    set_columns(bag, values)


def finish(bag: Bag, today: date) -> None:
    """Finished today, or on the day it was opened if that is still to come."""
    bag.finished_on = max(today, bag.opened_on or today)


def freeze(session: Session, bag_id: int, from_on: date, to_on: date | None) -> None:
    session.add(FrozenSpan(bag_id=bag_id, from_on=from_on, to_on=to_on))


def span_of(session: Session, bag_id: int, span_id: int) -> FrozenSpan | None:
    return session.scalar(
        select(FrozenSpan).where(FrozenSpan.id == span_id, FrozenSpan.bag_id == bag_id)
    )


def correct(session: Session, bag_id: int, grams: float, why: str, noted_on: date) -> None:
    """Note grams that came (+) or went (−) without a brew."""
    session.add(BagCorrection(bag_id=bag_id, noted_on=noted_on, grams=grams, why=why))


def correction_of(session: Session, bag_id: int, correction_id: int) -> BagCorrection | None:
    return session.scalar(
        select(BagCorrection).where(
            BagCorrection.id == correction_id, BagCorrection.bag_id == bag_id
        )
    )
