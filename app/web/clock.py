"""Now, and the way between a wall clock's time and a moment."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from flask import current_app, request

from app.config import known_zone, machine_zone

EARLIEST = datetime(1970, 1, 2, tzinfo=UTC)


def now() -> datetime:
    """The present moment in UTC; tests put their own clock into the app's config."""
    moment: datetime = current_app.config["CLOCK"]()
    return moment


def browser_zone() -> str:
    """The zone the browser told in its cookie, else this machine's."""
    told = request.cookies.get("zone", "")
    return known_zone(told) or str(current_app.config["ZONE"])


def today() -> date:
    """The calendar day where the browser is."""
    return now().astimezone(ZoneInfo(browser_zone())).date()


def wall_time(moment: datetime, zone: str) -> datetime:
    """What the clock on the wall showed, without its zone and to the minute."""
    return moment.astimezone(ZoneInfo(zone)).replace(tzinfo=None, second=0, microsecond=0)


def from_wall(wall: datetime, zone: str, kept: datetime | None = None) -> datetime:
    """The moment a wall clock showed `wall`.

    `kept` is the moment stored before: while its wall time is unchanged it stays, so that
    editing a brew neither drops its seconds nor moves it within a repeated autumn hour.
    Raises ValueError for an hour that daylight saving skipped, or far outside the calendar.
    """
    if kept is not None and wall_time(kept, zone) == wall:
        return kept
    try:
        moment = wall.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)
        back = wall_time(moment, zone)
    except OverflowError:
        raise ValueError("This date is outside the calendar.") from None
    if back != wall:
        raise ValueError("The clocks skipped this hour; choose a time before or after it.")
    if moment < EARLIEST:
        raise ValueError("This date is too long ago.")
    if moment > now() + timedelta(minutes=10):
        raise ValueError("This time has not come yet.")
    return moment


def machine_clock() -> datetime:
    return datetime.now(UTC)


__all__ = ["browser_zone", "from_wall", "machine_clock", "machine_zone", "now", "today"]
