"""What the first page shows."""

from collections.abc import Sequence
from datetime import date

from sqlalchemy import ColumnElement, exists, or_, select
from sqlalchemy.orm import Session

from app.journal.on_hand import OnHand
from app.models import Bag, Brewer, FilterPack

SHOWN = 4


def first_steps(session: Session) -> dict[str, bool]:
    """Which of the first steps are done. A bag that came with a brew has a name only, and is not
    entered before its roast day or its weight is."""
    entered = or_(Bag.roasted_on.is_not(None), Bag.net_g.is_not(None))
    done: dict[str, tuple[ColumnElement[bool], ...]] = {
        "bag": (Bag.binned_at.is_(None), entered),
        "brewer": (Brewer.binned_at.is_(None),),
        "pack": (FilterPack.binned_at.is_(None),),
    }
    steps = {name: exists().where(*of).label(name) for name, of in done.items()}
    row = session.execute(select(*steps.values())).one()
    return {name: bool(getattr(row, name)) for name in done}


def papers_to_check(hand: Sequence[OnHand], day: date) -> list[OnHand]:
    """Papers in use that were last brewed with a day or more ago, and may be damp."""
    papers = [row for row in hand if row.material == "paper" and row.last_on]
    return [row for row in papers if row.last_on and (day - row.last_on).days >= 1]
