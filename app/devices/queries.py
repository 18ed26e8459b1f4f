"""What is asked about devices: which are paired, which code is open, what a guest may open."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session

from app.models import BlindTaster, BlindTest, Device, PairingCode, Taster, Trial

MOST_SEATS = 200
MOST_TRIALS = 20


def paired(session: Session) -> list[Any]:
    """Every paired device, the latest seen first, and what it is a guest of."""
    query = (
        select(
            Device.id,
            Device.name,
            Device.paired_at,
            Device.last_seen_at,
            BlindTest.title.label("guest_of"),
            Taster.name.label("guest_as"),
        )
        .outerjoin(BlindTest, BlindTest.id == Device.guest_of_test_id)
        .outerjoin(Taster, Taster.id == Device.guest_taster_id)
        .where(Device.unpaired_at.is_(None))
        .order_by(Device.last_seen_at.desc(), Device.id.desc())
    )
    return list(session.execute(query))


def device_known_by(session: Session, token_hash: str) -> Any | None:
    """The paired device with this secret; none once it was unpaired."""
    columns = (
        Device.id, Device.last_seen_at, Device.guest_of_test_id, Device.guest_taster_id,
    )  # fmt: skip
    known = (Device.token_hash == token_hash, Device.unpaired_at.is_(None))
    return session.execute(select(*columns).where(*known)).first()


def name_of(session: Session, device_id: int) -> str | None:
    """The name of a device, paired still or not."""
    return session.scalar(select(Device.name).where(Device.id == device_id))


def open_codes(session: Session, now: datetime) -> tuple[int, datetime | None]:
    """How many codes would pair a device now, and when the last of them runs out."""
    query = select(func.count(), func.max(PairingCode.expires_at)).where(*_open(now))
    count, last = session.execute(query).one()
    return count, last


def is_open(session: Session, code_hash: str, now: datetime) -> bool:
    query = select(PairingCode.id).where(PairingCode.code_hash == code_hash, *_open(now))
    return session.scalar(query) is not None


def _open(now: datetime) -> tuple[Any, Any]:
    return PairingCode.used_at.is_(None), PairingCode.expires_at > now


def seats(session: Session) -> list[Any]:
    """Tasters of open blind tests with a helper; who pours alone has no part for a guest."""
    query = (
        _seats()
        .where(
            BlindTest.ended.is_(None), BlindTest.binned_at.is_(None), BlindTest.pouring != "solo"
        )
        .order_by(BlindTest.made_at.desc(), BlindTest.id.desc(), BlindTaster.id)
        .limit(MOST_SEATS)
    )
    return list(session.execute(query))


def seat_of(session: Session, test_id: int, taster_id: int) -> Any | None:
    """The names of a test and of one of its tasters."""
    there = (BlindTaster.test_id == test_id, BlindTaster.taster_id == taster_id)
    return session.execute(_seats().where(*there)).first()


def _seats() -> Select[*tuple[Any, ...]]:
    return (
        select(
            BlindTaster.id, BlindTaster.test_id, BlindTaster.taster_id, BlindTest.title, Taster.name
        )
        .join(BlindTest, BlindTest.id == BlindTaster.test_id)
        .join(Taster, Taster.id == BlindTaster.taster_id)
    )


def guest_of_trial(session: Session, trial_id: int) -> tuple[int, int] | None:
    """The test and the taster whose guest may see a trial; a solo trial's page holds its key."""
    query = select(Trial.test_id, Trial.taster_id).where(
        Trial.id == trial_id, Trial.pouring != "solo"
    )
    found = session.execute(query).first()
    return None if found is None else (found.test_id, found.taster_id)


def trials_for_guest(session: Session, test_id: int, taster_id: int) -> list[Any]:
    """The taster's latest trials by number and state, nothing of their keys."""
    own = (Trial.test_id == test_id, Trial.taster_id == taster_id)
    query = (
        select(Trial.id, Trial.number, Trial.served_at, Trial.answered_at)
        .where(*own, Trial.voided_at.is_(None), Trial.pouring != "solo")
        .order_by(Trial.number.desc())
        .limit(MOST_TRIALS)
    )
    return list(session.execute(query))
