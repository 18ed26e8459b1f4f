"""Names that were changed, and names that were made one: each can be taken back as one."""

from datetime import datetime

from sqlalchemy import JSON, String
from sqlalchemy.orm import Mapped, mapped_column

from app.models.base import NAME_CHARS, Base, Name, at_most, filled, one_of

NAME_KINDS = ("taster", "bean", "roaster")
NAME_CHANGES = ("renamed", "merged")


class NameChange(Base):
    """A taster, bean or roaster renamed, or merged into another one.

    `from_id` and `into_id` are the rows whose name it is; a roaster is a text in beans, and has
    none. `moved` are the rows that went over: tastings of a taster, bags of a bean, beans of a
    roaster (renamed ones, too). `followed` are tasters that had been merged into this one before.
    """

    __tablename__ = "name_change"
    __table_args__ = (
        one_of("kind", NAME_KINDS),
        one_of("what", NAME_CHANGES),
        filled("old_name"),
        filled("new_name"),
        at_most("device", NAME_CHARS),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str] = mapped_column(String(7))
    what: Mapped[str] = mapped_column(String(7))
    old_name: Mapped[Name]
    new_name: Mapped[Name]
    from_id: Mapped[int | None]
    into_id: Mapped[int | None]
    moved: Mapped[list[int]] = mapped_column(JSON)
    followed: Mapped[list[int]] = mapped_column(JSON)
    changed_at: Mapped[datetime]
    device: Mapped[Name] = mapped_column(default="")
    taken_back_at: Mapped[datetime | None]
