"""What the gear pages read: lists with last use, and a grinder's latest settings."""

from datetime import date
from typing import Generic, NamedTuple, TypeVar

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.journal.gear import LATEST_BREWS, Used
from app.journal.rows import columns_of, rows_as
from app.models import Bag, Bean, Brew, Brewer, Grinder, Water

G = TypeVar("G", Brewer, Grinder, Water)
MOST_COUNTED = 200


class ListedGear(NamedTuple, Generic[G]):
    """A brewer, grinder or water with its last day of use and how many brews it made.

    `brews` stops counting at MOST_COUNTED: a count over years of brews would cost more than the
    rest of the page.
    """

    gear: G
    last_on: date | None
    brews: int


def listed(session: Session, gear: type[G], used: Used) -> list[ListedGear[G]]:
    """All `gear` not in the bin, by name; `used` is the column of a brew that points at it."""
    of_this = (used == gear.id, Brew.binned_at.is_(None))
    newest = select(Brew.brewed_on).where(*of_this)
    newest = newest.order_by(Brew.brewed_at.desc(), Brew.id.desc()).limit(1)
    some = select(Brew.id).where(*of_this).limit(MOST_COUNTED).correlate(gear).subquery()
    query = (
        select(
            gear,
            newest.correlate(gear).scalar_subquery().label("last_on"),
            select(func.count()).select_from(some).scalar_subquery().label("brews"),
        )
        .where(gear.binned_at.is_(None))
        .order_by(func.lower(gear.name), gear.id)
    )
    return [ListedGear(*row) for row in session.execute(query)]


class GrinderSetting(NamedTuple):
    """How a grinder was set for a brew, and the bean it was for."""

    id: int
    brewed_on: date
    grind: str
    grind_setting: str
    bean_name: str


def latest_settings(session: Session, grinder_id: int) -> list[GrinderSetting]:
    """The settings of a grinder's newest brews."""
    query = (
        select(*columns_of(GrinderSetting, Brew, bean_name=Bean.name))
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Brew.grinder_id == grinder_id, Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(LATEST_BREWS)
    )
    return rows_as(GrinderSetting, session, query)
