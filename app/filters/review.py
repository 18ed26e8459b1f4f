"""The review of one filter: its uses, their numbers, gaps and cost, and how to keep it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import chain

from sqlalchemy.orm import Session

from app.filters import queries
from app.filters.queries import UsedIn
from app.filters.trends import UseChart, UseRow, use_charts
from app.journal.along import Along, settings_of
from app.journal.packs import filter_price
from app.journal.scores import OneTaster, of_one_taster, scores_of_brews
from app.journal.uses import PAPER_CAUTION
from app.models import Filter
from app.web.formats import formats

WASH = {
    "cloth": (
        "Wash it after each use, let it dry, and discard it when it smells or is spotted even "
        "then (common practice, no source)."
    ),
    "metal": "Wash it after each use, both sides, and let it dry (common practice, no source).",
}


@dataclass(frozen=True)
class FilterReview:
    """`uses` are the latest, newest first; `total` counts all, those before the journal too.

    `cup_price` is in the pack's currency, `cup_mass_g` the grams of filter to a cup; `charts` are
    by the column drawn, likings those of the one taster in `scored`.
    """

    uses: Sequence[UseRow]
    total: int
    cup_price: float | None
    cup_mass_g: float | None
    charts: dict[str, UseChart]
    scored: OneTaster

    @property
    def last_on(self) -> date | None:
        return self.uses[0].brew.brewed_on if self.uses else None


def review(session: Session, used: Filter, taster_id: int | None = None) -> FilterReview:
    """Scores over the uses are those of one taster: the one asked for, or who scored most."""
    total = used.prior_uses + queries.count_uses(session, used.id)
    uses = number_uses(queries.latest_uses(session, used.id), total)
    price, mass_g = filter_price(used.pack), used.pack.mass_g
    read = uses[: queries.MOST_READ]
    ids = [use.brew.id for use in read]
    scored = of_one_taster(scores_of_brews(session, ids), taster_id)
    along = Along(
        settings_of(session, ids),
        {use.brew.id: float(use.number) for use in read},
        ended=used.retired_on is not None,
        whole=uses == read,
    )
    return FilterReview(
        uses[: queries.MOST_USES],
        total,
        cup_price=price / total if price is not None and total else None,
        cup_mass_g=mass_g / total if mass_g is not None and total else None,
        charts=use_charts(read[::-1], scored, along, formats()),
        scored=scored,
    )


def number_uses(newest_first: Sequence[UsedIn], total: int) -> list[UseRow]:
    """Use numbers counted down from the newest, and the days between each and the one before."""
    befores = chain(newest_first[1:], [None])
    return [
        UseRow(brew, total - place, (brew.brewed_on - before.brewed_on).days if before else None)
        for place, (brew, before) in enumerate(zip(newest_first, befores, strict=False))
    ]


def care(material: str, uses: int, last_on: date | None, today: date) -> Sequence[str]:
    """Sentences for a filter that is not retired; the general caution comes first."""
    if material != "paper":
        return (WASH[material],)
    if not uses:
        return (PAPER_CAUTION,)
    if last_on is None or last_on >= today:
        return (PAPER_CAUTION, "Used today: rinse it and let it dry through, or discard it.")
    days = (today - last_on).days
    lain = "since yesterday" if days == 1 else f"for {days} days"
    return (
        PAPER_CAUTION,
        f"This one has lain {lain}. Is it still damp, does it smell, is it spotted? Discard it.",
    )
