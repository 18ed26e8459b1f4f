"""Which backups stay, over simulated years."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.backups.thin import COPIES, kept, kept_copies

DAY = timedelta(days=1)
START = datetime(2024, 1, 1, 7, 30, tzinfo=UTC)
MOST = 7 + 5 + 12


def live(days: list[datetime], made: set[datetime] | None = None) -> set[datetime]:
    """A backup on each of these days, thinned on each; what is there in the end."""
    there = set(made or ())
    for now in days:
        there = kept({*there, now}, now)
        assert now in there, "the newest never goes"
        assert len(there) <= MOST
    return there


def test_after_three_years_there_are_seven_days_five_weeks_and_twelve_months() -> None:
    days = [START + number * DAY for number in range(3 * 366)]  # to 2 January 2027, a Saturday
    there = sorted(live(days), reverse=True)
    assert [moment.date().isoformat() for moment in there] == [
        "2027-01-02", "2027-01-01", "2026-12-31", "2026-12-30", "2026-12-29", "2026-12-28",
        "2026-12-27", "2026-12-20", "2026-12-13", "2026-12-06", "2026-11-30", "2026-10-31",
        "2026-09-30", "2026-08-31", "2026-07-31", "2026-06-30", "2026-05-31", "2026-04-30",
        "2026-03-31", "2026-02-28",
    ]  # fmt: skip


@pytest.mark.parametrize("every", [2, 3, 9, 40])
def test_who_brews_seldom_keeps_as_many(every: int) -> None:
    """Days, weeks and months without a backup take no place."""
    days = [START + number * every * DAY for number in range(400 // every + 12)]
    there = sorted(live(days), reverse=True)
    assert there[:7] == sorted(days, reverse=True)[:7]


def test_a_pause_of_years_removes_nothing_by_itself() -> None:
    before = live([START + number * DAY for number in range(100)])
    after = live([START + 2000 * DAY], before)
    assert len(before - after) <= 3, "the new one takes a day's, a week's and a month's place"
    assert sorted(before, reverse=True)[:4] == sorted(after, reverse=True)[1:5]


def test_several_of_a_day_leave_the_last() -> None:
    hours = [START + timedelta(hours=number) for number in range(10)]
    assert live(hours) == {hours[-1]}


def test_a_clock_that_jumps_ahead_and_back_loses_none_of_either_time() -> None:
    before = live([START + number * DAY for number in range(60)])
    wrong = live([START + (1000 + number) * DAY for number in range(10)], before)
    assert max(before) in wrong, "ten days of a wrong clock thin no more than ten days do"
    right = live([START + (70 + number) * DAY for number in range(10)], wrong)
    ahead = {moment for moment in wrong if moment > START + 900 * DAY}
    assert ahead <= right, "what is dated ahead stays, and takes no place"
    assert sorted(right - ahead, reverse=True)[:7] == [
        START + (79 - number) * DAY for number in range(7)
    ]


def test_days_end_at_midnight_where_the_machine_is() -> None:
    zone = datetime.fromisoformat("2026-03-05T00:30+09:00").tzinfo
    late = datetime(2026, 3, 4, 14, 30, tzinfo=UTC).astimezone(zone)  # 23:30 on the 4th there
    early = datetime(2026, 3, 4, 15, 30, tzinfo=UTC).astimezone(zone)  # 0:30 on the 5th
    assert kept([late, early], early) == {late, early}


@given(st.lists(st.integers(0, 4000), max_size=80), st.integers(0, 4000))
def test_whatever_the_dates_the_newest_stays_and_the_rest_is_bounded(
    hours: list[int], now_hours: int
) -> None:
    made = {START + timedelta(hours=6 * number) for number in hours}
    now = START + timedelta(hours=6 * now_hours)
    there = kept(made, now)
    past = {moment for moment in made if moment <= now}
    assert there <= made
    assert made - past <= there
    assert len(there & past) <= MOST
    assert not past or max(past) in there
    assert kept(there, now) == there, "thinning twice removes nothing more"


def test_copies_set_aside_leave_the_newest_three_and_those_of_the_last_day() -> None:
    old = [START + number * DAY for number in range(10)]
    now = old[-1] + 10 * DAY
    assert kept_copies(old, now) == set(old[-COPIES:])
    tries = [now - timedelta(minutes=number) for number in range(14)]
    assert kept_copies([*old, *tries], now) == set(tries)
