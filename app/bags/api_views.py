"""A bag's cups over its days, for scripts."""

from dataclasses import dataclass
from datetime import date

from flask import Blueprint
from sqlalchemy import select
from werkzeug.wrappers import Response

from app.bags.cups import days_of
from app.brewing.ranged import Ranged
from app.journal.bags import frozen_spans
from app.journal.brews import newest_ids, read_brews
from app.models import Bag, Brew
from app.web.api.operations import operation
from app.web.api.problems import Refused
from app.web.api.shapes import Listed, answer
from app.web.session import reading

pages = Blueprint("api_bags", __name__, url_prefix="/api/v1/bags/<id:bag_id>/series")

MOST_CUPS = 500


@dataclass(frozen=True, slots=True)
class CupAnswer:
    """A cup of a bag. `day` counts its rest, days in the freezer left out, or where the roast day
    is not known the days since the first cup given. `strength_pct` is in % TDS with its range, and
    an estimate unless it was `measured`; `liking` is the mean of its tastings."""

    brew_id: int
    brewed_on: date
    day: int
    liking: float | None
    strength_pct: Ranged | None
    measured: bool
    ratio: float


@pages.get("")
@operation("may_read", f"A bag's latest {MOST_CUPS} cups, the oldest first", Listed[CupAnswer])
def series(bag_id: int) -> Response:
    session = reading()
    bag = session.scalar(select(Bag).where(Bag.id == bag_id))
    if bag is None:
        raise Refused(404, "There is no such bag.")
    brews = read_brews(session, newest_ids(session, MOST_CUPS, Brew.bag_id == bag_id))[::-1]
    days = days_of(brews, bag.roasted_on, frozen_spans(session, [bag_id]).get(bag_id, []))
    cups = [
        CupAnswer(
            brew_id=brew.row.id,
            brewed_on=brew.row.brewed_on,
            day=day,
            liking=brew.row.liking,
            strength_pct=brew.estimate.strength_pct,
            measured=brew.estimate.measured,
            ratio=brew.estimate.ratio,
        )
        for brew, day in zip(brews, days, strict=True)
    ]
    return answer(Listed(cups, None))
