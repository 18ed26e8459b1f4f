"""What is asked about devices: which are paired, which code is open, what a guest may open."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from ..models import BlindTest, Device, PairingCode, Trial

MOST_TESTS = 50
MOST_TRIALS = 20


def paired(session: Session) -> list[Any]:
    """Every paired device, the latest seen first, with the test it is a guest of."""
    query = (
        select(
            Device.id,
            Device.name,
            Device.paired_at,
            Device.last_seen_at,
            BlindTest.title.label("guest_of"),
        )
        .outerjoin(BlindTest, BlindTest.id == Device.guest_of_test_id)
        .where(Device.unpaired_at.is_(None))
        .order_by(Device.last_seen_at.desc(), Device.id.desc())
    )
    return list(session.execute(query))


def device_known_by(session: Session, token_hash: str) -> Any | None:
    """The paired device with this secret; none once it was unpaired."""
    query = select(Device.id, Device.last_seen_at, Device.guest_of_test_id).where(
        Device.token_hash == token_hash, Device.unpaired_at.is_(None)
    )
    return session.execute(query).first()


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


def tests_for_guests(session: Session) -> list[Any]:
    """Open blind tests with a helper who pours; poured solo, there is no part for a guest."""
    query = (
        select(BlindTest.id, BlindTest.title)
        .where(
            BlindTest.ended.is_(None), BlindTest.binned_at.is_(None), BlindTest.pouring != "solo"
        )
        .order_by(BlindTest.made_at.desc(), BlindTest.id.desc())
        .limit(MOST_TESTS)
    )
    return list(session.execute(query))


def title_of(session: Session, test_id: int) -> str | None:
    return session.scalar(select(BlindTest.title).where(BlindTest.id == test_id))


def test_of_trial(session: Session, trial_id: int) -> int | None:
    """The test a guest would see this trial of; a solo trial's page holds its key."""
    query = select(Trial.test_id).where(Trial.id == trial_id, Trial.pouring != "solo")
    return session.scalar(query)


def trials_for_guest(session: Session, test_id: int) -> list[Any]:
    """The latest trials of a test by number and state, nothing of their keys."""
    query = (
        select(Trial.id, Trial.number, Trial.served_at, Trial.answered_at)
        .where(Trial.test_id == test_id, Trial.voided_at.is_(None), Trial.pouring != "solo")
        .order_by(Trial.number.desc())
        .limit(MOST_TRIALS)
    )
    return list(session.execute(query))
