"""How the cups of a sitting are to be made: like a brew of the journal, but for what differs."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field

from sqlalchemy.orm import Session

from app.brewing.sitting.wanted import FilterWanted
from app.journal.rows import values_of
from app.models import Brew
from app.models.brews import BrewValues
from app.sensory.terms import Letter

Value = str | float | int | bool | None
# What comes out of a brew is not planned.
CAME_OUT = {"beverage_g": None, "tds_pct": None, "brix": None, "note": ""}


@dataclass(frozen=True, slots=True)
class CupLike:
    """A cup like a brew; `changes` are fields of `BrewValues` with other values, in stored units,
    `filters` its whole stack."""

    like_id: int
    changes: Mapping[str, Value] = field(default_factory=dict)
    filters: tuple[FilterWanted, ...] = ()


@dataclass(frozen=True, slots=True)
class Asked:
    """What a question asks of a sitting: its cups A and B as a `pair` to taste beside each other,
    `trials` of a blind test (None: it is planned on the way), or both."""

    question_id: int
    cups: Mapping[Letter, CupLike]
    pair: bool = False
    test_id: int | None = None
    trials: int = 0


def cup_values(session: Session, cup: CupLike) -> BrewValues:
    """What is set for the cup. Raises LookupError where there is no such brew."""
    like = session.get(Brew, cup.like_id)
    if like is None:
        raise LookupError(cup.like_id)
    return BrewValues(**asdict(values_of(like, BrewValues)) | CAME_OUT | dict(cup.changes))
