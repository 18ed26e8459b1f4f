"""The present time, and conversion between the time on a wall clock and a moment in UTC."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from flask import current_app, request

from app.config import known_zone

EARLIEST = datetime(1970, 1, 2, tzinfo=UTC)


def now() -> datetime:
    """The present moment in UTC, by the clock in the app's config (tests set their own)."""
    moment: datetime = current_app.config["CLOCK"]()
    return moment


def browser_zone() -> str:
    """The time zone that the browser sent in its cookie, else this machine's."""
    return known_zone(request.cookies.get("zone", "")) or str(current_app.config["ZONE"])


def today() -> date:
    """The calendar day in the browser's time zone."""
    return now().astimezone(ZoneInfo(browser_zone())).date()


def wall_time(moment: datetime, zone: str) -> datetime:
    """What a clock on the wall in `zone` shows at `moment`: to the minute, without a zone."""
    return moment.astimezone(ZoneInfo(zone)).replace(tzinfo=None, second=0, microsecond=0)


def from_wall(wall: datetime, zone: str, stored: datetime | None = None) -> datetime:
    """The moment (UTC) at which a wall clock in `zone` shows `wall`.

    `stored` is the moment of a row being edited: where its wall time is `wall`, it is returned as
    it is, so that editing neither drops its seconds nor moves it within the hour that autumn
    repeats. Raises ValueError for an hour that daylight saving skips, for a time before 1970, and
    for one more than ten minutes ahead.
    """
    if stored is not None and wall_time(stored, zone) == wall:
        return stored
    try:
        moment = wall.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)
        back = wall_time(moment, zone)
    except OverflowError:
        raise ValueError("This date is outside the calendar.") from None
    if back != wall:
        raise ValueError("The clocks skipped this hour; choose a time before or after it.")
    return possible(moment)


def possible(moment: datetime) -> datetime:
    """The moment, unless it is before 1970 or more than ten minutes ahead: then ValueError."""
    if moment < EARLIEST:
        raise ValueError("This date is too long ago.")
    if moment > now() + timedelta(minutes=10):
        raise ValueError("This time has not come yet.")
    return moment


def machine_clock() -> datetime:
    """The present moment in UTC, by this machine's clock."""
    return datetime.now(UTC)
