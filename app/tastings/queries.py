"""Reading tastings: of given brews, latest first, and the brews nobody has tasted yet."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Select, exists, select
from sqlalchemy.orm import Session

from app.journal.paging import Page, read_page
from app.journal.tastings import LOOK_BACK, TASTING_COLUMNS
from app.models import Bag, Bean, Brew, Taster, Tasting
from app.text import search_text

MOST_UNTASTED = 8
MOST_WORDS = 8


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


def entered(session: Session, entry_key: str) -> bool:
    """Whether the form with this key was saved before."""
    return session.scalar(select(Tasting.id).where(Tasting.entry_key == entry_key)) is not None
