"""Photos of brews: one of a brew is shown; those it took the place of, and those removed, are in
the bin."""

from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.bin import put_in_bin, take_from_bin
from app.journal.history import record_done
from app.models import Brew, BrewPhoto


def shown_photo(session: Session, brew_id: int) -> BrewPhoto | None:
    of_brew = (BrewPhoto.brew_id == brew_id, BrewPhoto.binned_at.is_(None))
    return session.scalar(select(BrewPhoto).where(*of_brew))


def add_photo(session: Session, brew_id: int, jpeg: bytes, alt: str) -> None:
    """The photo of a new brew; `alt` says what it shows."""
    session.add(BrewPhoto(brew_id=brew_id, jpeg=jpeg, alt=alt))


def change_photo(session: Session, brew: Brew, jpeg: bytes | None, alt: str, now: datetime) -> None:
    """Show another photo, and put the one before in the bin; without one, say what it shows."""
    before = shown_photo(session, brew.id)
    if jpeg:
        if before:
            put_in_bin(before, now)
        add_photo(session, brew.id, jpeg, alt)
        record_done(brew, "photo replaced" if before else "photo added")
    elif before:
        before.alt = alt


def remove_photo(session: Session, brew: Brew, now: datetime) -> bool:
    """Put the photo that is shown in the bin; whether there was one."""
    shown = shown_photo(session, brew.id)
    if shown:
        put_in_bin(shown, now)
        record_done(brew, "photo put in the bin")
    return shown is not None


def restore_photo(session: Session, photo: BrewPhoto, now: datetime) -> bool:
    """Show a photo again; whether it took the place of another, which then goes to the bin."""
    shown = shown_photo(session, photo.brew_id)
    if shown is photo:
        return False
    if shown:
        put_in_bin(shown, now)
    take_from_bin(photo)
    record_done(session.get_one(Brew, photo.brew_id), "photo restored")
    return shown is not None
