"""Which backups are kept as they grow older. Pure."""

from collections.abc import Callable, Hashable, Iterable, Sequence
from datetime import datetime, timedelta

DAYS, WEEKS, MONTHS = 7, 5, 12
COPIES, COPIES_FOR = 3, timedelta(days=1)
# A clock that was set right by a little must not make the newest backup one of the future.
AHEAD = timedelta(hours=1)


def kept(made: Iterable[datetime], now: datetime) -> set[datetime]:
    """The backups to keep: the newest of each of the latest 7 days, 5 weeks and 12 months.

    Days, ISO weeks and months count only where there is a backup, in the time zone that the
    moments are given in: a pause, or a clock that jumped ahead, removes nothing by itself. What
    is dated after `now` is kept and takes no place, since the clock was wrong then, or is now.
    """
    moments = sorted(set(made), reverse=True)
    ahead = {moment for moment in moments if moment > now + AHEAD}
    past = [moment for moment in moments if moment not in ahead]
    return (
        ahead
        | _newest_of_each(past, lambda moment: moment.date(), DAYS)
        | _newest_of_each(past, lambda moment: moment.isocalendar()[:2], WEEKS)
        | _newest_of_each(past, lambda moment: (moment.year, moment.month), MONTHS)
    )


def _newest_of_each(
    newest_first: Sequence[datetime], span: Callable[[datetime], Hashable], most: int
) -> set[datetime]:
    newest: dict[Hashable, datetime] = {}
    for moment in newest_first:
        newest.setdefault(span(moment), moment)
    return set(list(newest.values())[:most])


def kept_copies(made: Iterable[datetime], now: datetime) -> set[datetime]:
    """Of the copies taken before something was done: the newest 3, and all of the last day, so
    that trying several backups in turn does not push out the journal one began with."""
    moments = sorted(set(made), reverse=True)
    return set(moments[:COPIES]) | {moment for moment in moments if moment > now - COPIES_FOR}
