"""The review of one bag: everything its page shows, read and worked out."""

from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from app.bags import queries
from app.bags.cups import BagCup, UseLine, bag_cup, best_cups, days_of, use_lines
from app.bags.sums import LATEST_DOSES, BrewsLeft, brews_left, cup_price_minor
from app.bags.trends import BagChart, bag_charts
from app.journal.estimates import estimate_of, learned
from app.journal.rest import Rest, Span, rest_on
from app.journal.uses import uses_of_brews
from app.models import Bag


@dataclass(frozen=True)
class Review:
    """`cups` are the latest from the bag, oldest first; `totals` counts all of them."""

    totals: queries.BagTotals
    left: BrewsLeft | None
    rest: Rest | None
    in_freezer: bool
    cup_price_minor: float | None
    cups: list[BagCup]
    best: list[BagCup]
    charts: list[BagChart]
    uses: list[UseLine]

    @property
    def before_roast(self) -> bool:
        """A cup is dated before the roast, so a day must be wrong."""
        return any(cup.day < 0 for cup in self.cups)


def review(session: Session, bag: Bag, today: date) -> Review:
    spans: list[Span] = [(span.from_on, span.to_on) for span in bag.frozen]
    totals = queries.totals(session, bag.id)
    cups = _cups(session, bag, spans)
    x_title = "rest, days" if bag.roasted_on else "days since the first brew shown"
    doses = [cup.row.dose_g for cup in cups[-LATEST_DOSES:]]
    return Review(
        totals,
        left=brews_left(totals.left_g, doses),
        rest=rest_on(bag.finished_on or today, bag.roasted_on, spans),
        in_freezer=any(start <= today and (end is None or today < end) for start, end in spans),
        cup_price_minor=cup_price_minor(
            bag.price_minor, bag.net_g, totals.brewed_g, totals.brews
        ),
        cups=cups,
        best=best_cups(cups),
        charts=bag_charts(cups, x_title),
        uses=use_lines(cups),
    )  # fmt: skip


def _cups(session: Session, bag: Bag, spans: list[Span]) -> list[BagCup]:
    rows = queries.brews_of_bag(session, bag.id)
    if not rows:
        return []
    stacks = uses_of_brews(session, [row.id for row in rows])
    scores = queries.scores_of_bag(session, bag.id, rows[0].brewed_at)
    known = learned(session)
    return [
        bag_cup(row, day, estimate_of(row, known), stacks.get(row.id, ()), scores.get(row.id, ()))
        for row, day in zip(rows, days_of(rows, bag.roasted_on, spans), strict=True)
    ]
