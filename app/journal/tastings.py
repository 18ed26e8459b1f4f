"""Tastings of given brews, who tastes, and writing a tasting."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import NamedTuple
from uuid import uuid4

from sqlalchemy import ColumnElement, Float, bindparam, cast, func, select
from sqlalchemy.orm import Session

from app.journal.people import people
from app.journal.rows import Query, columns_of, rows_as, set_columns
from app.models import Brew, Taster, Tasting
from app.models.tastings import JUST_RIGHT_SCALES, TastingValues
from app.sensory.scores.just_right import in_words
from app.text import search_text

LOOK_BACK = 200


@dataclass(frozen=True, slots=True)
class TastingEntry:
    """A tasting as it is entered; a `new_taster` is named instead of one by id.

    `after_trial_id` is the blind trial it comes after, once and for all.
    """

    values: TastingValues
    tasted_at: datetime
    taster_id: int | None = None
    new_taster: str = ""
    after_trial_id: int | None = None


def add_tasting(
    session: Session, entry: TastingEntry, brew_id: int, zone: str, key: str = ""
) -> Tasting:
    """A new tasting, named by the `key` of its form."""
    tasting = Tasting(entry_key=key or str(uuid4()), brew_id=brew_id, zone=zone)
    tasting.after_trial_id = entry.after_trial_id
    change_tasting(session, tasting, entry)
    session.add(tasting)
    session.flush()
    return tasting


def after_brew(tasted_at: datetime, brewed_at: datetime) -> datetime:
    """The moment of a tasting; ValueError with a sentence if it is before the brew's minute."""
    if tasted_at < brewed_at.replace(second=0, microsecond=0):
        raise ValueError("This is before the brew was made.")
    return tasted_at


def add_tastings(session: Session, entries: Mapping[int, TastingEntry], zone: str) -> list[Tasting]:
    """Many tastings at once, one for each brew by its id, of tasters who are there."""
    tastings = []
    for brew_id, entry in entries.items():
        tasting = Tasting(entry_key=str(uuid4()), brew_id=brew_id, zone=zone)
        change_tasting(session, tasting, entry)
        tastings.append(tasting)
    session.add_all(tastings)
    session.flush()
    return tastings


def change_tasting(session: Session, tasting: Tasting, entry: TastingEntry) -> None:
    if entry.new_taster:
        tasting.taster_id = taster_named(session, entry.new_taster)
    elif entry.taster_id is not None:
        tasting.taster_id = next(iter(people(session, [entry.taster_id])), entry.taster_id)
    set_columns(tasting, entry.values)
    tasting.tasted_at = entry.tasted_at
    tasting.text_search = search_text(entry.values.words, entry.values.note).strip()


def taster_named(session: Session, name: str) -> int:
    """The taster of this name, back from the bin if need be, or a new one."""
    wanted = search_text(name)
    for taster in session.scalars(
        select(Taster).order_by(Taster.binned_at.is_not(None), Taster.id)
    ):
        if search_text(taster.name) == wanted:
            if taster.same_as_id:  # a name that this person had before
                return taster.same_as_id
            taster.binned_at = None
            return taster.id
    taster = Taster(name=name)
    session.add(taster)
    session.flush()
    return taster.id


class TastingRow(NamedTuple):
    """A tasting with the name of its taster."""

    id: int
    brew_id: int
    taster_id: int
    taster_name: str
    tasted_at: datetime
    zone: str
    blind: bool
    liking: int | None
    jar_strength: int | None
    jar_sweetness: int | None
    jar_acidity: int | None
    jar_bitterness: int | None
    jar_body: int | None
    jar_clarity: int | None
    words: str
    note: str
    after_trial_id: int | None

    @property
    def just_right(self) -> str:
        """The just-right answers in words; empty where none was given."""
        return in_words(just_right_of(self))


def just_right_of(row: object) -> dict[str, int | None]:
    """The answers of a row with columns such as `jar_body`, by attribute."""
    return {scale: getattr(row, f"jar_{scale}") for scale in JUST_RIGHT_SCALES}


def counted() -> tuple[ColumnElement[bool], ...]:
    """The tastings that sums, trends and evidence take in.

    Not those in the bin, nor those after the reveal of a blind trial: having just chosen between
    two cups sways what one likes of them, as ISO 4120 warns.
    """
    return Tasting.binned_at.is_(None), Tasting.after_trial_id.is_(None)


def tastings_of_brews(session: Session, brew_ids: Iterable[int]) -> dict[int, list[TastingRow]]:
    """Tastings by brew id, first tasted first; a brew without any is left out."""
    wanted = list(brew_ids)
    if not wanted:
        return {}
    by_brew: dict[int, list[TastingRow]] = {}
    for row in rows_as(TastingRow, session, _of_brews(), {"ids": wanted}):
        by_brew.setdefault(row.brew_id, []).append(row)
    return by_brew


def tastings_after(session: Session, trial_id: int) -> list[TastingRow]:
    """How the cups of a blind trial were tasted again, once its key was known."""
    return rows_as(TastingRow, session, _rows().where(Tasting.after_trial_id == trial_id))


@cache
def _of_brews() -> Query:
    return _rows().where(Tasting.brew_id.in_(bindparam("ids", expanding=True)))


def _rows() -> Query:
    return (
        select(*columns_of(TastingRow, Tasting, taster_name=Taster.name))
        .join(Taster, Taster.id == Tasting.taster_id)
        .where(Tasting.binned_at.is_(None))
        .order_by(Tasting.brew_id, Tasting.tasted_at, Tasting.id)
    )


def mean_liking(owner: type[Brew]) -> ColumnElement[float | None]:
    """A column: the mean liking of `owner`'s tastings that count."""
    return (
        select(cast(func.avg(Tasting.liking), Float))
        .where(Tasting.brew_id == owner.id, *counted())
        .correlate(owner)
        .scalar_subquery()
    )


def tasters(session: Session, also: int | None = None) -> list[tuple[int, str]]:
    """Tasters to pick from by name, and `also` even if it is in the bin."""
    wanted = Taster.binned_at.is_(None) | (Taster.id == also)
    query = select(Taster.id, Taster.name).where(wanted).order_by(Taster.name, Taster.id)
    return [(row.id, row.name) for row in session.execute(query)]


def likely_taster(session: Session, have_tasted: Iterable[int]) -> int | None:
    """Who will taste next: of the latest tasters, the last one that is not in `have_tasted`."""
    latest = (
        select(Tasting.taster_id)
        .join(Taster, Taster.id == Tasting.taster_id)
        .where(Tasting.binned_at.is_(None), Taster.binned_at.is_(None))
        .order_by(Tasting.id.desc())
        .limit(LOOK_BACK)
    )
    in_turn = list(dict.fromkeys(session.scalars(latest)))
    done = set(have_tasted)
    waiting = [taster_id for taster_id in in_turn if taster_id not in done]
    return next(iter(waiting or in_turn), None)
