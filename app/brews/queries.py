"""Reads of one brew, for its page and its form."""

from sqlalchemy import select
from sqlalchemy.orm import Session, joinedload, selectinload

from app.models import Bag, Brew, BrewPhoto, FilterUse, RecipeRevision


def brew_to_change(session: Session, brew_id: int) -> Brew | None:
    """The brew with its stack, to be edited or copied."""
    query = (
        select(Brew)
        .where(Brew.id == brew_id)
        .options(selectinload(Brew.stack).joinedload(FilterUse.filter))
    )
    return session.scalars(query).first()


def brew_page(session: Session, brew_id: int) -> Brew | None:
    """The brew with everything its page names, in the bin or not."""
    query = (
        select(Brew)
        .where(Brew.id == brew_id)
        .options(
            joinedload(Brew.bag).joinedload(Bag.bean),
            joinedload(Brew.bag).selectinload(Bag.frozen),
            joinedload(Brew.brewer),
            joinedload(Brew.grinder),
            joinedload(Brew.water),
            joinedload(Brew.revision).joinedload(RecipeRevision.recipe),
        )
    )
    return session.scalars(query).first()


def photo_alt(session: Session, brew_id: int) -> str | None:
    """What the brew's photo shows; None where there is no photo."""
    shown = (BrewPhoto.brew_id == brew_id, BrewPhoto.binned_at.is_(None))
    return session.scalar(select(BrewPhoto.alt).where(*shown))
