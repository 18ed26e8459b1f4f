"""What the gear pages read: each list with last use, and the latest brews made with one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.journal.gear import LATEST_BREWS, Gear, Used
from app.models import Bag, Bean, Brew, Brewer, Grinder, Water

MOST_COUNTED = 200

Row = Brewer | Grinder | Water


def listed(session: Session, gear: Gear, used: Used) -> Sequence[Any]:
    """Every row of `gear` not in the bin, by name, with `last_on` and `brews`.

    `used` is the column of a brew that points at it. `brews` stops counting at MOST_COUNTED:
    a count over years of brews would cost more than the rest of the page.
    """
    of_this = (used == gear.id, Brew.binned_at.is_(None))
    newest = select(Brew.brewed_on).where(*of_this)
    newest = newest.order_by(Brew.brewed_at.desc(), Brew.id.desc()).limit(1)
    some = select(Brew.id).where(*of_this).limit(MOST_COUNTED).correlate(gear).subquery()
    query = (
        select(
            *gear.__table__.columns,
            newest.correlate(gear).scalar_subquery().label("last_on"),
            select(func.count()).select_from(some).scalar_subquery().label("brews"),
        )
        .where(gear.binned_at.is_(None))
        .order_by(func.lower(gear.name), gear.id)
    )
    return session.execute(query).all()


def latest_settings(session: Session, grinder_id: int) -> Sequence[Any]:
    """How a grinder was set in its newest brews, and the bean it was for."""
    query = (
        select(Brew.id, Brew.brewed_on, Brew.grind, Brew.grind_setting, Bean.name)
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Brew.grinder_id == grinder_id, Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(LATEST_BREWS)
    )
    return session.execute(query).all()
