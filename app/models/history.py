"""What was changed, and which forms were saved."""

from __future__ import annotations

from datetime import datetime
from typing import NotRequired, TypedDict

from sqlalchemy import JSON, CheckConstraint, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.models.base import NAME_CHARS, Base, Moment, at_most, filled

KEY_CHARS = 36
ADDRESS_CHARS = 300
THING_CHARS = 20


class FieldText(TypedDict):
    """A field of a form as it stood: numbers in the stored unit, and what a choice was called.

    `unit` is None for what is no number; `rows` are the fields of each row of a list.
    """

    name: str
    label: str
    values: list[str]
    shown: str
    unit: str | None
    rows: NotRequired[list[list[FieldText]]]


class Change(Base):
    """One change of a thing. `before` is its whole form, `after` the fields that changed.

    The number of its latest change is the thing's version. Where it was no form that changed it,
    `what` says what was done, and both are empty.
    """

    __tablename__ = "change"
    __table_args__ = (
        UniqueConstraint("thing", "row_id", "number"),
        CheckConstraint("number >= 1", name="number_counts"),
        filled("thing", THING_CHARS),
        at_most("device", NAME_CHARS),
        at_most("what", NAME_CHARS),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    thing: Mapped[str] = mapped_column(String(THING_CHARS))
    row_id: Mapped[int]
    number: Mapped[int]
    changed_at: Mapped[datetime] = mapped_column(Moment)
    device: Mapped[str] = mapped_column(String(NAME_CHARS), default="")
    what: Mapped[str] = mapped_column(String(NAME_CHARS), default="")
    before: Mapped[list[FieldText]] = mapped_column(JSON, default=list)
    after: Mapped[list[FieldText]] = mapped_column(JSON, default=list)


class SavedForm(Base):
    """A form that was saved, so that it counts once however often it is sent.

    `content` is a digest of what was sent, `address` shows what was saved, and `change_address`
    is where it is changed.
    """

    __tablename__ = "saved_form"
    __table_args__ = (
        at_most("content", 64),
        at_most("address", ADDRESS_CHARS),
        at_most("change_address", ADDRESS_CHARS),
    )

    key: Mapped[str] = mapped_column(String(KEY_CHARS), primary_key=True)
    content: Mapped[str] = mapped_column(String(64))
    address: Mapped[str] = mapped_column(String(ADDRESS_CHARS), default="")
    change_address: Mapped[str] = mapped_column(String(ADDRESS_CHARS), default="")
    saved_at: Mapped[datetime] = mapped_column(Moment)
