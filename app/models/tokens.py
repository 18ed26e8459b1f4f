"""Tokens by which scripts use the journal's API."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.models.base import Base, Name, filled


@dataclass(frozen=True, slots=True, kw_only=True)
class TokenValues:
    """What a token is made with; each is a column of that name."""

    name: str
    may_read: bool
    may_log_brews: bool
    may_log_tastings: bool
    may_read_tests: bool
    from_network: bool
    expires_at: datetime | None


class ApiToken(Base):
    """What a script may do with the journal. Only a hash of its secret is kept.

    `from_network` lets it be used from another machine at home, not from this one alone.
    """

    __tablename__ = "api_token"
    __table_args__ = (UniqueConstraint("secret_hash"), filled("name"))

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[Name]
    secret_hash: Mapped[str] = mapped_column(String(64))
    may_read: Mapped[bool]
    may_log_brews: Mapped[bool]
    may_log_tastings: Mapped[bool]
    may_read_tests: Mapped[bool]
    from_network: Mapped[bool]
    made_at: Mapped[datetime]
    expires_at: Mapped[datetime | None]
    revoked_at: Mapped[datetime | None]
    last_used_at: Mapped[datetime | None]
