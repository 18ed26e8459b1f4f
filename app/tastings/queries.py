"""Reading tastings: of given brews, latest first, and the brews nobody has tasted yet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

from sqlalchemy import ColumnElement, Float, Select, bindparam, cast, exists, func, select
from sqlalchemy.orm import Session

from ..fields import search_text
from ..keyset import Page, read_page
from ..models import Bag, Bean, Brew, Taster, Tasting

LOOK_BACK = 200
MOST_UNTASTED = 8
MOST_WORDS = 8

JUST_RIGHT_COLUMNS: tuple[Any, ...] = (
    Tasting.jar_strength,
    Tasting.jar_sweetness,
    Tasting.jar_acidity,
    Tasting.jar_bitterness,
    Tasting.jar_body,
    Tasting.jar_clarity,
)
TASTING_COLUMNS: tuple[Any, ...] = (
    Tasting.id,
    Tasting.brew_id,
    Tasting.taster_id,
    Taster.name.label("taster_name"),
    Tasting.tasted_at,
    Tasting.zone,
    Tasting.blind,
    Tasting.liking,
    *JUST_RIGHT_COLUMNS,
    Tasting.words,
    Tasting.note,
)


def tastings_of_brews(session: Session, brew_ids: Iterable[int]) -> dict[int, list[Any]]:
    """Rows of TASTING_COLUMNS by brew id, first tasted first; a brew without any is left out."""
    wanted = list(brew_ids)
    if not wanted:
        return {}
    found: dict[int, list[Any]] = {}
    for row in session.execute(_of_brews(), {"ids": wanted}):
        found.setdefault(row.brew_id, []).append(row)
    return found


@cache
def _of_brews() -> Select[*tuple[Any, ...]]:
    return (
        select(*TASTING_COLUMNS)
        .join(Taster, Taster.id == Tasting.taster_id)
        .where(Tasting.brew_id.in_(bindparam("ids", expanding=True)), Tasting.binned_at.is_(None))
        .order_by(Tasting.brew_id, Tasting.tasted_at, Tasting.id)
    )


def mean_liking(owner: type[Brew]) -> ColumnElement[float | None]:
    """A column: the mean liking of `owner`'s tastings, tastings in the bin left out."""
    return (
        select(cast(func.avg(Tasting.liking), Float))
        .where(Tasting.brew_id == owner.id, Tasting.binned_at.is_(None))
        .correlate(owner)
        .scalar_subquery()
    )


def tasting_rows() -> Select[*tuple[Any, ...]]:
    """Tastings with the brew they are of; those in the bin, or of a brew in it, left out."""
    return (
        select(
            *TASTING_COLUMNS,
            Brew.brewed_at,
            Brew.zone.label("brew_zone"),
            Bean.name.label("bean_name"),
        )
        .join(Taster, Taster.id == Tasting.taster_id)
        .join(Brew, Brew.id == Tasting.brew_id)
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Tasting.binned_at.is_(None), Brew.binned_at.is_(None))
    )


def search_page(session: Session, words: str, args: Mapping[str, str]) -> Page[Any]:
    """A page of tastings from new to old, each with all of the words in what was written."""
    said = [
        Tasting.text_search.contains(word, autoescape=True)
        for word in search_text(words).split()[:MOST_WORDS]
    ]
    return read_page(
        lambda query: session.execute(query).all(),
        tasting_rows().where(*said),
        Tasting.tasted_at,
        Tasting.id,
        lambda row: (row.tasted_at, row.id),
        args,
    )


def not_tasted_yet(session: Session) -> list[Any]:
    """The newest brews without a tasting, among the latest LOOK_BACK brews."""
    latest = (
        select(Brew.id, Brew.brewed_at, Brew.zone, Brew.bag_id, Brew.dose_g, Brew.water_g)
        .where(Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(LOOK_BACK)
        .subquery()
    )
    tasted = exists().where(Tasting.brew_id == latest.c.id, Tasting.binned_at.is_(None))
    query = (
        select(latest, Bean.name.label("bean_name"))
        .join(Bag, Bag.id == latest.c.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .where(~tasted)
        .order_by(latest.c.brewed_at.desc(), latest.c.id.desc())
        .limit(MOST_UNTASTED)
    )
    return list(session.execute(query))


def brew_to_taste(session: Session, brew_id: int) -> Any | None:
    """What the tasting form says about its brew, in the bin or not."""
    query = (
        select(
            Brew.id,
            Brew.brewed_at,
            Brew.zone,
            Brew.dose_g,
            Brew.water_g,
            Bean.name.label("bean_name"),
        )
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Brew.id == brew_id)
    )
    return session.execute(query).first()


def tasters(session: Session, also: int | None = None) -> list[tuple[int, str]]:
    """Tasters to pick from by name, and `also` even if it is in the bin."""
    wanted = Taster.binned_at.is_(None) | (Taster.id == also)
    query = select(Taster.id, Taster.name).where(wanted).order_by(Taster.name, Taster.id)
    return [(row.id, row.name) for row in session.execute(query)]


def likely_taster(session: Session, have_tasted: Iterable[int]) -> int | None:
    """Who tasted last, by what was entered last; of the latest, one not in `have_tasted` first."""
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


def entered(session: Session, entry_key: str) -> bool:
    """Whether the form with this key was saved before."""
    return session.scalar(select(Tasting.id).where(Tasting.entry_key == entry_key)) is not None
