"""Making and using pairing codes, unpairing, and when a device was last seen."""

from contextlib import suppress
from datetime import datetime, timedelta

from sqlalchemy import delete, or_, update
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import Session

from app.devices.queries import Seat, open_at
from app.file.refused import JournalRefused
from app.models import Device, PairingCode
from app.web.codes import CODE_LIFE, draw_code, draw_secret, drawn, hash_code, hash_secret
from app.web.session import database

SEEN_EVERY = timedelta(minutes=1)


def add_code(session: Session, now: datetime, seat: Seat | None = None) -> str:
    """Draw a code, a guest's where a seat is given; only its hash is kept.

    Codes that were used or have expired are deleted.
    """
    done = or_(PairingCode.used_at.is_not(None), PairingCode.expires_at <= now)
    session.execute(delete(PairingCode).where(done))
    code, expires_at = draw_code(), now + CODE_LIFE
    drawn().add(hash_code(code), expires_at)
    session.add(
        PairingCode(
            code_hash=hash_code(code),
            made_at=now,
            expires_at=expires_at,
            guest_of_test_id=seat.test_id if seat else None,
            guest_taster_id=seat.taster_id if seat else None,
        )
    )
    return code


def void_codes(session: Session) -> int:
    """Delete the codes that are not used yet, and return how many there were."""
    unused = delete(PairingCode).where(PairingCode.used_at.is_(None))
    return len(session.scalars(unused.returning(PairingCode.id)).all())


def pair(
    session: Session, code_hash: str, name: str, now: datetime, former: int | None = None
) -> tuple[str, Device] | None:
    """Use a code: a new device and its secret, or nothing if the code is not open.

    `former` is the device it was until now.
    """
    used = update(PairingCode).where(PairingCode.code_hash == code_hash, *open_at(now))
    guest = (PairingCode.guest_of_test_id, PairingCode.guest_taster_id)
    seat = session.execute(used.values(used_at=now).returning(*guest)).first()
    if seat is None:
        return None
    device = Device(
        name=name, guest_of_test_id=seat.guest_of_test_id, guest_taster_id=seat.guest_taster_id
    )
    return let_in(session, device, now, former), device


def let_in(session: Session, device: Device, now: datetime, former: int | None = None) -> str:
    """Pair a new device, and return its secret, drawn here whatever the browser sent."""
    if former:
        unpair(session, former, now)
    secret = draw_secret()
    device.token_hash, device.paired_at, device.last_seen_at = hash_secret(secret), now, now
    session.add(device)
    return secret


def unpair(session: Session, device_id: int, now: datetime) -> None:
    """The device is refused from its next request on."""
    still = update(Device).where(Device.id == device_id, Device.unpaired_at.is_(None))
    session.execute(still.values(unpaired_at=now))


def note_seen(device_id: int, last_seen_at: datetime, now: datetime) -> None:
    """Keep when a device was last seen, to the minute, in a write of its own.

    It waits for nobody, and a journal that cannot be written is no reason to refuse the page.
    """
    if now - last_seen_at < SEEN_EVERY:
        return
    with suppress(DBAPIError, JournalRefused), database().writing(patience_s=0) as session:
        session.execute(update(Device).where(Device.id == device_id).values(last_seen_at=now))
