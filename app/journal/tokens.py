"""Tokens of scripts: making and revoking them, and what a request needs to know of one."""

import hmac
import re
from datetime import datetime
from hashlib import sha256
from secrets import token_urlsafe
from typing import NamedTuple

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from app.journal.rows import columns_of, row_as, rows_as, set_columns
from app.models import ApiToken
from app.models.tokens import TokenValues

TOKEN = re.compile(r"oddcup-([1-9]\d{0,8})-([\w-]{43})", re.ASCII)
MOST_LISTED = 100


class KnownToken(NamedTuple):
    """What a request needs to know of the token that it carries."""

    id: int
    name: str
    secret_hash: str
    may_read: bool
    may_log_brews: bool
    may_log_tastings: bool
    may_read_tests: bool
    from_network: bool
    expires_at: datetime | None
    revoked_at: datetime | None
    last_used_at: datetime | None


class TokenRow(NamedTuple):
    """A token as the settings list it."""

    id: int
    name: str
    may_read: bool
    may_log_brews: bool
    may_log_tastings: bool
    may_read_tests: bool
    from_network: bool
    made_at: datetime
    expires_at: datetime | None
    last_used_at: datetime | None


def add_token(session: Session, values: TokenValues, now: datetime) -> tuple[int, str]:
    """A new token: its number, and the token itself, which is kept nowhere."""
    secret = token_urlsafe(32)
    token = ApiToken(made_at=now, secret_hash=_hash(secret))
    set_columns(token, values)
    session.add(token)
    session.flush()
    return token.id, f"oddcup-{token.id}-{secret}"


def token_of(session: Session, sent: str, now: datetime) -> KnownToken | None:
    """The token that was sent; None where there is none such, or it was revoked or has expired."""
    match = TOKEN.fullmatch(sent)
    if match is None:
        return None
    query = select(*columns_of(KnownToken, ApiToken)).where(ApiToken.id == int(match[1]))
    known = row_as(KnownToken, session, query)
    right = hmac.compare_digest(known.secret_hash if known else "", _hash(match[2]))
    if known is None or not right or known.revoked_at is not None:
        return None
    return None if known.expires_at is not None and known.expires_at <= now else known


def tokens_in_use(session: Session) -> list[TokenRow]:
    """Those that were not revoked, the newest first."""
    query = select(*columns_of(TokenRow, ApiToken)).where(ApiToken.revoked_at.is_(None))
    return rows_as(TokenRow, session, query.order_by(ApiToken.id.desc()).limit(MOST_LISTED))


def revoke_token(session: Session, token_id: int, now: datetime) -> str | None:
    """It is refused from its next request on; its name, if there is such a token in use."""
    still = update(ApiToken).where(ApiToken.id == token_id, ApiToken.revoked_at.is_(None))
    return session.scalar(still.values(revoked_at=now).returning(ApiToken.name))


def note_use(session: Session, token_id: int, now: datetime) -> None:
    session.execute(update(ApiToken).where(ApiToken.id == token_id).values(last_used_at=now))


def _hash(secret: str) -> str:
    return sha256(secret.encode()).hexdigest()
