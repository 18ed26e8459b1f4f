"""The likings and just-right answers that brews got, one a tasting, in the order of entry."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from sqlalchemy import bindparam, or_, select
from sqlalchemy.orm import Session

from app.journal.rows import Query, columns_of, rows_as
from app.journal.tastings import counted
from app.models import Taster, Tasting
from app.models.tastings import JUST_RIGHT_SCALES


class Score(NamedTuple):
    """How a brew was liked in one tasting."""

    id: int
    brew_id: int
    taster_id: int
    taster_name: str
    liking: int
    blind: bool


class JustRightRow(NamedTuple):
    """What was said of a brew on the just-right scales in one tasting."""

    taster_id: int
    taster_name: str
    blind: bool
    jar_strength: int | None
    jar_sweetness: int | None
    jar_acidity: int | None
    jar_bitterness: int | None
    jar_body: int | None
    jar_clarity: int | None


def scores_of_brews(session: Session, brew_ids: Iterable[int]) -> list[Score]:
    """Tastings without a liking, and those that do not count, are left out."""
    ids = sorted(brew_ids)
    return rows_as(Score, session, _scores(), {"ids": ids}) if ids else []


def just_right_of_brews(session: Session, brew_ids: Iterable[int]) -> list[JustRightRow]:
    """Tastings that answer none of the scales, and those that do not count, are left out."""
    ids = sorted(brew_ids)
    return rows_as(JustRightRow, session, _just_right(), {"ids": ids}) if ids else []


@cache
def _just_right() -> Query:
    answers = [getattr(Tasting, f"jar_{scale}") for scale in JUST_RIGHT_SCALES]
    return (
        select(*columns_of(JustRightRow, Tasting, taster_name=Taster.name))
        .join(Taster, Taster.id == Tasting.taster_id)
        .where(
            Tasting.brew_id.in_(bindparam("ids", expanding=True)),
            *counted(),
            or_(*(answer.is_not(None) for answer in answers)),
        )
        .order_by(Tasting.id)
    )


@cache
def _scores() -> Query:
    return (
        select(*columns_of(Score, Tasting, taster_name=Taster.name))
        .join(Taster, Taster.id == Tasting.taster_id)
        .where(
            Tasting.brew_id.in_(bindparam("ids", expanding=True)),
            *counted(),
            Tasting.liking.is_not(None),
        )
        .order_by(Tasting.id)
    )


@dataclass(frozen=True, slots=True)
class OneTaster:
    """The scores of one taster: tasters are never pooled. `tasters` are all, as (id, name)."""

    taster_id: int | None
    name: str
    scores: Sequence[Score]
    tasters: Sequence[tuple[int, str]]


def of_one_taster(scores: Sequence[Score], wanted: int | None) -> OneTaster:
    """The scores of the taster wanted, or else of who scored most."""
    by_taster: dict[tuple[int, str], list[Score]] = {}
    for score in scores:
        by_taster.setdefault((score.taster_id, score.taster_name), []).append(score)
    if not by_taster:
        return OneTaster(None, "", (), ())
    tasters = sorted(by_taster, key=lambda taster: (-len(by_taster[taster]), taster[0]))
    chosen = next((taster for taster in tasters if taster[0] == wanted), tasters[0])
    return OneTaster(*chosen, by_taster[chosen], sorted(tasters, key=lambda taster: taster[1]))
