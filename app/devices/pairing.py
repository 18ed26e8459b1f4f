"""Letting a device in by the code that was typed on it, and counting wrong ones."""

from datetime import datetime
from typing import NamedTuple

from flask import url_for

from app.devices import queries, saving
from app.devices.queries import KnownDevice
from app.journal.blind.helpers import takes_helpers
from app.models import Device
from app.web import clock, codes, shared_codes
from app.web.helper_codes import helper_codes
from app.web.session import reading, writing

WRONG_CODE = (
    "This code does not work. It may be mistyped, used, older than ten minutes, or of a test that "
    "has ended; a new one can be made on the journal’s own machine, or where the trial waits."
)
TASTES_HERE = (
    "This device tastes in that test, so it cannot show what is poured. Whoever pours uses a "
    "phone of their own."
)


class NotLetIn(Exception):
    """The text says why."""


class LetIn(NamedTuple):
    """The secret that the device is known by from now on, none if it is let in as it was; and the
    first page that is its."""

    secret: str
    first: str


def let_in_by(typed: str, name: str, former: KnownDevice | None) -> LetIn:
    """Use a code once. Raises NotLetIn; ten wrong codes make all open ones void."""
    code, now = codes.read_code(typed), clock.now()
    with shared_codes.held():
        test_id = helper_codes().test_of(code, now)
        if test_id is not None and takes_helpers(reading(), test_id):
            return _as_helper(test_id, name, former, now)
        paired = _by_made_code(codes.hash_code(code), name, former, now)
        if paired is None:
            _count_wrong(now)
            raise NotLetIn(WRONG_CODE)
        return paired


def _as_helper(test_id: int, name: str, former: KnownDevice | None, now: datetime) -> LetIn:
    first = url_for("blind.pour_all", test_id=test_id)
    if former and former.is_household:
        return LetIn("", first)  # it may pour as it is, and is not to lose the journal by that
    if former and former.guest_of_test_id == test_id:
        raise NotLetIn(TASTES_HERE)
    helper = Device(name=name, helper_of_test_id=test_id)
    with writing(keyed=False) as session:
        secret = saving.let_in(session, helper, now, former.id if former else None)
    helper_codes().codes.pop(test_id, None)
    return LetIn(secret, first)


def _by_made_code(
    code_hash: str, name: str, former: KnownDevice | None, now: datetime
) -> LetIn | None:
    if not queries.is_open(reading(), code_hash, now):
        return None
    with writing(keyed=False) as session:
        paired = saving.pair(session, code_hash, name, now, former.id if former else None)
        if paired is None:
            return None
        secret, device = paired
        guest = device.guest_of_test_id is not None
    return LetIn(secret, url_for("devices.guest" if guest else "today.index"))


def _count_wrong(now: datetime) -> None:
    tries = codes.tries()
    tries.wrong += 1
    if tries.wrong < codes.MOST_WRONG:
        return
    voided = helper_codes().cancel_all()
    if queries.open_codes(reading(), now)[0]:
        with writing(keyed=False) as session:
            voided += saving.void_codes(session)
    tries.voided_at = now if voided else tries.voided_at
