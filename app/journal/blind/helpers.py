"""Who pours from a device of their own: let in for one blind test, by its code."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import ColumnElement, select, update
from sqlalchemy.orm import Session

from app.models import BlindTest, Device


def helpers_of(session: Session, test_id: int) -> Sequence[str]:
    """The names of the devices that help in a test."""
    query = select(Device.name).where(*_lets_in(test_id)).order_by(Device.id)
    return session.scalars(query).all()


def takes_helpers(session: Session, test_id: int) -> bool:
    """Whether a test goes on, and somebody else pours in it."""
    goes_on = (BlindTest.ended.is_(None), BlindTest.binned_at.is_(None))
    poured = BlindTest.pouring != "solo"
    query = select(BlindTest.id).where(BlindTest.id == test_id, *goes_on, poured)
    return session.scalar(query) is not None


def put_helpers_out(session: Session, test_id: int, now: datetime) -> None:
    """The devices that help in a test are refused from their next request on."""
    session.execute(update(Device).where(*_lets_in(test_id)).values(unpaired_at=now))


def _lets_in(test_id: int) -> tuple[ColumnElement[bool], ...]:
    return (Device.helper_of_test_id == test_id, Device.unpaired_at.is_(None))
