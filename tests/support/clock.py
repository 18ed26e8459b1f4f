"""The moments tests live at."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

NOON = datetime(2026, 9, 15, 12, 0, tzinfo=UTC)
FIRST_BREW = datetime(2026, 1, 5, 7, 30, tzinfo=UTC)
A_DAY = timedelta(days=1)


def moment(at: datetime | str) -> datetime:
    """A moment given as one, or as text such as 2026-03-05T07:30 (UTC unless it says)."""
    read = datetime.fromisoformat(at) if isinstance(at, str) else at
    return read if read.tzinfo else read.replace(tzinfo=UTC)
