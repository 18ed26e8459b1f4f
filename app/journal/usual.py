"""What is usually taken in a brewer, and what is far from it: a slip of the point, mostly.

Our own rule. Of the latest brews the least and the greatest amount do not count, so that neither
one odd cup, nor a slip that was saved, makes itself usual; a second one does.
"""

from functools import cache
from typing import NamedTuple

from sqlalchemy import Integer, Select, bindparam, select
from sqlalchemy.orm import Session

from app.journal.alike import alike_ids
from app.models import Brew

LATEST, FEWEST = 12, 5
# Far is more than so many times the usual and so much beyond it, or as much less.
FAR: dict[str, tuple[float, float]] = {
    "dose_g": (1.5, 1.0),
    "water_g": (1.5, 20.0),
    "bypass_g": (2.0, 20.0),
    "ice_g": (2.0, 20.0),
    "water_temp_c": (1.0, 12.0),
    "steep_s": (2.5, 30.0),
    "press_s": (2.5, 20.0),
}


class Usual(NamedTuple):
    """From the least to the greatest that is usual, in the unit of the amount's name."""

    low: float
    high: float


def usual_amounts(session: Session, brewer_id: int, but: int | None = None) -> dict[str, Usual]:
    """By name, from the latest brews in this brewer or one alike that note it, `but` one; nothing
    of an amount that too few of them note. No bypass and no ice are no amounts."""
    rows = session.execute(_latest(), {"brewer_id": brewer_id, "but": but or 0}).all()
    noted = {
        name: sorted(row[place] for row in rows if row[place]) for place, name in enumerate(FAR)
    }
    return {
        name: Usual(amounts[1], amounts[-2])
        for name, amounts in noted.items()
        if len(amounts) >= FEWEST
    }


@cache
def _latest() -> Select[*tuple[float, ...]]:
    return (
        select(*(getattr(Brew, name) for name in FAR))
        .where(
            Brew.brewer_id.in_(alike_ids(bindparam("brewer_id", type_=Integer))),
            Brew.binned_at.is_(None),
            Brew.id != bindparam("but", type_=Integer),
        )
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(LATEST)
    )


def is_far(name: str, amount: float, usual: Usual) -> bool:
    """Whether an amount is so far from the usual that it is worth a question.

    >>> [is_far("dose_g", dose_g, Usual(13.5, 15.0)) for dose_g in (1.4, 12.0, 19.0, 140.0)]
    [True, False, False, True]
    """
    times, beyond = FAR[name]
    return amount > times * usual.high + beyond or amount < usual.low / times - beyond
