"""Times as the API reads and writes them: ISO 8601 with an offset, beside the name of the zone."""

import re
from datetime import datetime
from zoneinfo import ZoneInfo

from flask import current_app

from app.config import known_zone
from app.web import clock

# As RFC 3339 writes them.
MOMENT = re.compile(
    r"\d{4}-\d\d-\d\d[Tt ]\d\d:\d\d:\d\d(?:\.\d{1,9})?(?:[Zz]|[+-]\d\d:\d\d)", re.ASCII
)
MOMENT_SCHEMA = {
    "type": ["string", "null"],
    "format": "date-time",
    "description": "As ISO 8601 writes it, with its offset from UTC; left out: now.",
}
ZONE_SCHEMA = {
    "type": ["string", "null"],
    "maxLength": 60,
    "description": "Name of the time zone, such as Europe/Berlin; left out: that of the machine.",
}


def read_moment(value: object) -> datetime:
    """The moment that was sent, now for none; ValueError with a sentence."""
    if value is None:
        return clock.now()
    if not isinstance(value, str) or not MOMENT.fullmatch(value):
        raise ValueError("Please send a time with its offset, such as 2026-03-05T07:41:00+01:00.")
    try:
        moment = datetime.fromisoformat(value.upper())
    except ValueError:
        raise ValueError("There is no such time.") from None
    try:
        return clock.possible(moment)
    except OverflowError:
        raise ValueError("This date is outside the calendar.") from None


def read_zone(value: object) -> str:
    """The name of a time zone, the machine's for none; ValueError with a sentence."""
    if value is None:
        return str(current_app.config["ZONE"])
    zone = known_zone(value) if isinstance(value, str) and len(value) <= 60 else None
    if zone is None:
        raise ValueError("There is no such time zone; name one such as Europe/Berlin.")
    return zone


def local(moment: datetime, zone: str) -> datetime:
    """The moment with the offset that its zone had."""
    return moment.astimezone(ZoneInfo(zone))
