"""What came into the journal from a file, so that it can be taken back as one."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import JSON, CheckConstraint, ForeignKey, Index, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.models.base import NAME_CHARS, WORDS_CHARS, Base, Note, at_most, filled, one_of

IMPORT_KINDS = ("package", "sheet")
TABLE_CHARS = 60
UUID_CHARS = 36

Plain = str | int | float | bool | None
Key = list[Plain]


class JournalIdentity(Base):
    """Which journal this is: the same in a copy of it, and in what is imported into an empty one.

    A number of a row means the same row only within one such journal. Drawn when it is first
    needed.
    """

    __tablename__ = "journal_identity"
    __table_args__ = (CheckConstraint("id = 1", name="one_row"), filled("uuid", UUID_CHARS))

    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False, default=1)
    uuid: Mapped[str] = mapped_column(String(UUID_CHARS))


class JournalImport(Base):
    """One import. `counts` are the rows it added, by table."""

    __tablename__ = "journal_import"
    __table_args__ = (
        one_of("kind", IMPORT_KINDS),
        filled("file_name", WORDS_CHARS),
        at_most("device", NAME_CHARS),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str] = mapped_column(String(7))
    file_name: Mapped[str] = mapped_column(String(WORDS_CHARS))
    imported_at: Mapped[datetime]
    device: Mapped[str] = mapped_column(String(NAME_CHARS), default="")
    counts: Mapped[dict[str, int]] = mapped_column(JSON, default=dict)
    taken_back_at: Mapped[datetime | None]


class ImportedRows(Base):
    """Some rows of one table that an import added, or changed, and what was in them then.

    `keys` are their primary keys, `digests` those of `columns` as they were after the import, in
    the same order. `before` holds for rows that it changed what stood in `columns` before.
    """

    __tablename__ = "imported_rows"
    __table_args__ = (filled("table_name", TABLE_CHARS),)

    id: Mapped[int] = mapped_column(primary_key=True)
    import_id: Mapped[int] = mapped_column(ForeignKey("journal_import.id"), index=True)
    table_name: Mapped[str] = mapped_column(String(TABLE_CHARS))
    columns: Mapped[list[str]] = mapped_column(JSON)
    keys: Mapped[list[Key]] = mapped_column(JSON)
    digests: Mapped[list[str]] = mapped_column(JSON)
    before: Mapped[list[list[Plain]] | None] = mapped_column(JSON(none_as_null=True))


class ImportLink(Base):
    """A row of another journal, and the row that it became here, so that it comes in once."""

    __tablename__ = "import_link"
    __table_args__ = (
        UniqueConstraint("origin", "table_name", "their_id"),
        filled("origin", UUID_CHARS),
        filled("table_name", TABLE_CHARS),
        Index("ix_import_link_import_id", "import_id"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    import_id: Mapped[int] = mapped_column(ForeignKey("journal_import.id"))
    origin: Mapped[str] = mapped_column(String(UUID_CHARS))
    table_name: Mapped[str] = mapped_column(String(TABLE_CHARS))
    their_id: Mapped[int]
    our_id: Mapped[int]


class LeftTrial(Base):
    """A trial that was drawn in another copy of the journal and whose key stayed behind there.

    It can be neither served nor counted here; whoever reads the test sees that it was drawn.
    """

    __tablename__ = "left_trial"
    __table_args__ = (at_most("note"),)

    test_id: Mapped[int] = mapped_column(ForeignKey("blind_test.id"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    taster_id: Mapped[int] = mapped_column(ForeignKey("taster.id"), index=True)
    drawn_at: Mapped[datetime]
    served_at: Mapped[datetime | None]
    answered_at: Mapped[datetime | None]
    voided_at: Mapped[datetime | None]
    void_reason: Mapped[str] = mapped_column(String(WORDS_CHARS), default="")
    note: Mapped[Note]
