"""Reading which devices are paired, which codes are open, and what a guest may open."""

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import ColumnElement, func, or_, select
from sqlalchemy.orm import Session, aliased

from app.journal.people import called
from app.journal.rows import Query, row_as, rows_as
from app.models import BlindTaster, BlindTest, Device, PairingCode, Taster, Trial
from app.web.codes import drawn

MOST_SEATS = 200
MOST_TRIALS = 20


class PairedDevice(NamedTuple):
    """A device; the test and taster it is a guest of, or the test it helps in, if any."""

    id: int
    name: str
    paired_at: datetime
    last_seen_at: datetime
    guest_of: str | None
    guest_as: str | None
    helper_of: str | None


class KnownDevice(NamedTuple):
    """What a request needs to know of the device it comes from."""

    id: int
    name: str
    last_seen_at: datetime
    guest_of_test_id: int | None
    guest_taster_id: int | None
    helper_of_test_id: int | None

    @property
    def is_household(self) -> bool:
        """Whether it opens the whole journal."""
        return self.guest_of_test_id is None and self.helper_of_test_id is None


class Seat(NamedTuple):
    """A taster of a blind test."""

    id: int
    test_id: int
    taster_id: int
    title: str
    name: str


class GuestTrial(NamedTuple):
    """A trial as its taster's device lists it: nothing of its key."""

    id: int
    number: int
    served_at: datetime | None
    answered_at: datetime | None


def paired(session: Session) -> list[PairedDevice]:
    """Every paired device, the latest seen first, and what it is let in for."""
    helped = aliased(BlindTest)
    query = (
        select(
            Device.id,
            Device.name,
            Device.paired_at,
            Device.last_seen_at,
            BlindTest.title.label("guest_of"),
            called().label("guest_as"),
            helped.title.label("helper_of"),
        )
        .outerjoin(BlindTest, BlindTest.id == Device.guest_of_test_id)
        .outerjoin(Taster, Taster.id == Device.guest_taster_id)
        .outerjoin(helped, helped.id == Device.helper_of_test_id)
        .where(Device.unpaired_at.is_(None))
        .order_by(Device.last_seen_at.desc(), Device.id.desc())
    )
    return rows_as(PairedDevice, session, query)


def device_known_by(session: Session, token_hash: str) -> KnownDevice | None:
    """The paired device with this secret; none once it was unpaired."""
    columns = (getattr(Device, name) for name in KnownDevice._fields)
    known = (Device.token_hash == token_hash, Device.unpaired_at.is_(None))
    return row_as(KnownDevice, session, select(*columns).where(*known))


def name_of(session: Session, device_id: int) -> str | None:
    """The name of a device, paired still or not."""
    return session.scalar(select(Device.name).where(Device.id == device_id))


def open_codes(session: Session, now: datetime) -> tuple[int, datetime | None]:
    """How many codes would pair a device now, and when the last of them runs out."""
    query = select(func.count(), func.max(PairingCode.expires_at)).where(*open_at(now))
    count, last = session.execute(query).one()
    return count, last


def is_open(session: Session, code_hash: str, now: datetime) -> bool:
    query = select(PairingCode.id).where(PairingCode.code_hash == code_hash, *open_at(now))
    return session.scalar(query) is not None


def open_at(now: datetime) -> tuple[ColumnElement[bool], ...]:
    """Not used, not run out, and if it is a guest's, of a test that goes on."""
    over = select(BlindTest.id).where(
        or_(BlindTest.ended.is_not(None), BlindTest.binned_at.is_not(None))
    )
    return (
        PairingCode.used_at.is_(None),
        PairingCode.expires_at > now,
        PairingCode.code_hash.in_(drawn().open_at(now)),
        or_(PairingCode.guest_of_test_id.is_(None), PairingCode.guest_of_test_id.not_in(over)),
    )


def seats(session: Session) -> list[Seat]:
    """Tasters of open blind tests in which somebody else pours: only those have a guest's part."""
    query = (
        _seats()
        .where(
            BlindTest.ended.is_(None), BlindTest.binned_at.is_(None), BlindTest.pouring != "solo"
        )
        .order_by(BlindTest.made_at.desc(), BlindTest.id.desc(), BlindTaster.id)
        .limit(MOST_SEATS)
    )
    return rows_as(Seat, session, query)


def seat_of(session: Session, test_id: int, taster_id: int) -> Seat | None:
    own = (BlindTaster.test_id == test_id, BlindTaster.taster_id == taster_id)
    return row_as(Seat, session, _seats().where(*own))


def _seats() -> Query:
    return (
        select(
            BlindTaster.id,
            BlindTaster.test_id,
            BlindTaster.taster_id,
            BlindTest.title,
            called().label("name"),
        )
        .join(BlindTest, BlindTest.id == BlindTaster.test_id)
        .join(Taster, Taster.id == BlindTaster.taster_id)
    )


def guest_of_trial(session: Session, trial_id: int) -> tuple[int, int] | None:
    """The test and the taster whose guest may see a trial; a solo trial's page holds its key."""
    query = select(Trial.test_id, Trial.taster_id).where(
        Trial.id == trial_id, Trial.pouring != "solo"
    )
    trial = session.execute(query).first()
    return None if trial is None else (trial.test_id, trial.taster_id)


def test_of_poured_trial(session: Session, trial_id: int) -> int | None:
    """The test whose helpers may pour a trial; one that is poured solo has none."""
    query = select(Trial.test_id).where(Trial.id == trial_id, Trial.pouring != "solo")
    return session.scalar(query)


def trials_for_guest(session: Session, test_id: int, taster_id: int) -> list[GuestTrial]:
    """The taster's latest trials, the last first."""
    own = (Trial.test_id == test_id, Trial.taster_id == taster_id)
    query = (
        select(Trial.id, Trial.number, Trial.served_at, Trial.answered_at)
        .where(*own, Trial.voided_at.is_(None), Trial.pouring != "solo")
        .order_by(Trial.number.desc())
        .limit(MOST_TRIALS)
    )
    return rows_as(GuestTrial, session, query)
