"""What every table shares: names of constraints, times with a zone, numbers within bounds."""

from collections.abc import Mapping
from datetime import UTC, date, datetime
from typing import Annotated, ClassVar
from zoneinfo import ZoneInfo

from sqlalchemy import CheckConstraint, DateTime, Dialect, MetaData, String
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column
from sqlalchemy.types import TypeDecorator

NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}

NAME_CHARS = 120
WORDS_CHARS = 300
NOTE_CHARS = 4000


class Moment(TypeDecorator[datetime]):
    """A point in time, stored as UTC. A naive datetime is refused."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("A time needs its zone.")
        return value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


class Base(DeclarativeBase):
    metadata = MetaData(naming_convention=NAMES)
    type_annotation_map: ClassVar[Mapping[type, type[Moment]]] = {datetime: Moment}


class Binned:
    """A numbered row; deleting moves it to the bin, from where it can be restored."""

    id: Mapped[int] = mapped_column(primary_key=True)
    binned_at: Mapped[datetime | None]


def between(column: str, bounds: tuple[float, float]) -> CheckConstraint:
    """A two-sided range: refuses text, infinities and typing errors; an empty value passes."""
    low, high = bounds
    return CheckConstraint(f"{column} BETWEEN {low} AND {high}", name=f"{column}_range")


def one_of(column: str, words: tuple[str, ...]) -> CheckConstraint:
    listed = ", ".join(f"'{word}'" for word in words)
    return CheckConstraint(f"{column} IN ({listed})", name=f"{column}_word")


def filled(column: str, longest: int = NAME_CHARS) -> CheckConstraint:
    """The text is neither blank nor longer than `longest` characters."""
    return CheckConstraint(
        f"length(trim({column})) >= 1 AND length({column}) <= {longest}", name=f"{column}_filled"
    )


def at_most(column: str, longest: int = NOTE_CHARS) -> CheckConstraint:
    return CheckConstraint(f"length({column}) <= {longest}", name=f"{column}_length")


Name = Annotated[str, mapped_column(String(NAME_CHARS))]
Note = Annotated[str, mapped_column(String(NOTE_CHARS), default="")]


def local_date(moment: datetime, zone: str) -> date:
    """The calendar day of a moment where it was entered."""
    return moment.astimezone(ZoneInfo(zone)).date()
