"""What the first page shows."""

from collections.abc import Sequence
from datetime import date

from sqlalchemy import exists, select
from sqlalchemy.orm import Session

from app.journal.on_hand import OnHand
from app.models import Bag, Brewer, FilterPack
from app.models.base import Binned

SHOWN = 4


def first_steps(session: Session) -> dict[str, bool]:
    """Which of the first steps are done in a journal without a brew."""
    things: dict[str, type[Binned]] = {"bag": Bag, "brewer": Brewer, "pack": FilterPack}
    return {
        name: session.scalar(select(exists().where(thing.binned_at.is_(None)))) or False
        for name, thing in things.items()
    }


def papers_to_check(hand: Sequence[OnHand], day: date) -> list[OnHand]:
    """Papers in use that were last brewed with a day or more ago, and may be damp."""
    papers = [row for row in hand if row.material == "paper" and row.last_on]
    return [row for row in papers if row.last_on and (day - row.last_on).days >= 1]
