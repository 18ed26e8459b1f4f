"""Writing beans and bags, within the caller's transaction."""

from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.rows import add_row, set_columns
from app.models import Bag, BagCorrection, Bean, FrozenSpan
from app.models.beans import BagValues, BeanValues


def add_bag(session: Session, values: BagValues, bean: BeanValues | int) -> Bag:
    """A bag of a new bean, or of the one with this id."""
    if isinstance(bean, BeanValues):
        bean = add_row(session, Bean(), bean).id
    return add_row(session, Bag(bean_id=bean), values)


def change_bag(session: Session, bag: Bag, values: BagValues, bean: BeanValues) -> None:
    """Change a bag and its bean; the bean changes for all its bags."""
    set_columns(session.get_one(Bean, bag.bean_id), bean)
    set_columns(bag, values)


def finish(bag: Bag, today: date) -> None:
    """Finished today, or on a later day it was opened; one finished before keeps its day."""
    bag.finished_on = bag.finished_on or max(today, bag.opened_on or today)


def freeze(session: Session, bag_id: int, from_on: date, to_on: date | None) -> None:
    session.add(FrozenSpan(bag_id=bag_id, from_on=from_on, to_on=to_on))


def span_of(session: Session, bag_id: int, span_id: int) -> FrozenSpan | None:
    """Days of a bag in the freezer, in the bin or not."""
    return session.scalar(select(FrozenSpan).filter_by(id=span_id, bag_id=bag_id))


def correct(session: Session, bag_id: int, grams: float, why: str, noted_on: date) -> None:
    """Note grams that came (+) or went (−) without a brew."""
    session.add(BagCorrection(bag_id=bag_id, noted_on=noted_on, grams=grams, why=why))


def correction_of(session: Session, bag_id: int, correction_id: int) -> BagCorrection | None:
    """A correction of a bag, in the bin or not."""
    return session.scalar(select(BagCorrection).filter_by(id=correction_id, bag_id=bag_id))
