"""The review of one bag: everything its page shows, read and worked out."""

from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from app.bags import queries
from app.bags.cups import (
    LATEST_DOSES,
    BagCup,
    BrewsLeft,
    UseLine,
    best_cups,
    brews_left,
    cup_price_minor,
    days_of,
    use_lines,
)
from app.bags.just_right import JustRightOf, just_right_of_tasters
from app.bags.trends import BagChart, bag_charts
from app.journal.along import Along, settings_of
from app.journal.brews import newest_ids, read_brews
from app.journal.repeating import beside_a_difference
from app.journal.rest import Rest, Span, rest_on
from app.journal.scores import OneTaster, just_right_of_brews, of_one_taster, scores_of_brews
from app.models import Bag, Brew

MOST_BREWS = 400


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
    scored: OneTaster
    uses: list[UseLine]
    just_right: list[JustRightOf]
    repeats: list[str]

    @property
    def before_roast(self) -> bool:
        """A cup is dated before the roast, so a day must be wrong."""
        return any(cup.day < 0 for cup in self.cups)


def review(session: Session, bag: Bag, today: date, taster_id: int | None = None) -> Review:
    """Scores over the bag's days are those of one taster: the one asked for, or who scored most."""
    spans: list[Span] = [(span.from_on, span.to_on) for span in bag.frozen]
    totals = queries.totals(session, bag.id)
    cups = _cups(session, bag, spans)
    brew_ids = [cup.brew.row.id for cup in cups]
    scored = of_one_taster(scores_of_brews(session, brew_ids), taster_id)
    along = Along(
        settings_of(session, brew_ids),
        {cup.brew.row.id: float(cup.day) for cup in cups},
        ended=bag.finished_on is not None,
        whole=totals.brews <= len(cups),
    )
    x_title = "rest, days" if bag.roasted_on else "days since the first brew shown"
    doses = [cup.brew.cup.dose_g for cup in cups[-LATEST_DOSES:]]
    return Review(
        totals,
        brews_left(totals.left_g, doses),
        rest_on(bag.finished_on or today, bag.roasted_on, spans),
        any(start <= today and (end is None or today < end) for start, end in spans),
        cup_price_minor(bag.price_minor, bag.net_g, totals.brewed_g, totals.brews),
        cups,
        best_cups(cups),
        bag_charts(cups, scored, along, x_title),
        scored,
        use_lines(cups),
        just_right_of_tasters(just_right_of_brews(session, brew_ids)),
        beside_a_difference(session, {scored.taster_id: scored.name} if scored.taster_id else {}),
    )


def _cups(session: Session, bag: Bag, spans: list[Span]) -> list[BagCup]:
    brews = read_brews(session, newest_ids(session, MOST_BREWS, Brew.bag_id == bag.id))[::-1]
    if not brews:
        return []
    days = days_of(brews, bag.roasted_on, spans)
    return [BagCup(brew, day) for brew, day in zip(brews, days, strict=True)]
