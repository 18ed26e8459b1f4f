"""Writing beans and bags down."""

from __future__ import annotations

from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.bags.forms import BagForm, CorrectionForm, FrozenForm, NewBagForm
from app.models import Bag, BagCorrection, Bean, FrozenSpan


def add_bag(session: Session, form: NewBagForm) -> Bag:
    """The bag, with its bean if that is new; flushed, so that it has its id."""
    bean_id = form.bean_id.data
    if bean_id is None:
        bean = Bean(**form.bean_columns())
        session.add(bean)
        session.flush()
        bean_id = bean.id
    bag = Bag(bean_id=bean_id, **form.bag_columns())
    session.add(bag)
    session.flush()
    return bag


def change_bag(session: Session, bag: Bag, form: BagForm) -> None:
    """The bag and its bean as the form has them; the bean changes for all its bags."""
    bean = session.get_one(Bean, bag.bean_id)
    for name, value in form.bean_columns().items():
        setattr(bean, name, value)
    for name, value in form.bag_columns().items():
        setattr(bag, name, value)


def finish(bag: Bag, today: date) -> None:
    """Finished today, or on the day it was opened if that is still to come."""
    bag.finished_on = max(today, bag.opened_on or today)


def freeze(session: Session, bag_id: int, form: FrozenForm) -> None:
    span = FrozenSpan(bag_id=bag_id, from_on=form.from_on.data, to_on=form.to_on.data)
    session.add(span)


def span_of(session: Session, bag_id: int, span_id: int) -> FrozenSpan | None:
    return session.scalar(
        select(FrozenSpan).where(FrozenSpan.id == span_id, FrozenSpan.bag_id == bag_id)
    )


def correct(session: Session, bag_id: int, form: CorrectionForm) -> None:
    session.add(
        BagCorrection(
            bag_id=bag_id,
            noted_on=form.noted_on.data,
            grams=form.signed_g(),
            why=form.why.data,
        )
    )


def correction_of(session: Session, bag_id: int, correction_id: int) -> BagCorrection | None:
    return session.scalar(
        select(BagCorrection).where(
            BagCorrection.id == correction_id, BagCorrection.bag_id == bag_id
        )
    )
