"""Who scored what, and how far tasters agree on cups that two of them scored."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from itertools import combinations
from statistics import fmean
from typing import NamedTuple

from sqlalchemy import bindparam, select
from sqlalchemy.orm import Session

from app.database import while_unchanged
from app.journal.rows import Query, columns_of, rows_as
from app.journal.tastings import counted
from app.models import Brew, Taster, Tasting
from app.sensory.scores.agreement import Agreement, Both, agreement, are_others
from app.sensory.scores.concordance import LEAST_TASTERS, Concordance, concordance

MOST_SCORES = 2000  # the latest


class _Score(NamedTuple):
    brew_id: int
    brewed_on: date
    taster_id: int
    taster_name: str
    liking: int


@dataclass(frozen=True, slots=True)
class TwoTasters:
    """Two tasters by name, and how far they agree."""

    first: str
    second: str
    found: Agreement


@dataclass(frozen=True, slots=True)
class Agreeing:
    """`scores` are (taster, name, how many), most first; `pairs` those who share most cups first;
    `whole` whether all scores of the journal were read."""

    scores: list[tuple[int, str, int]]
    pairs: list[TwoTasters]
    whole: bool
    together: "Together | None"


@dataclass(frozen=True, slots=True)
class Together:
    """Three tasters or more, by name, who all scored something on the same days."""

    names: list[str]
    found: Concordance


def tasters_agree(session: Session) -> Agreeing:
    """From the latest scores; worked out once for as long as nothing changes."""
    return while_unchanged(session, "tasters agree", lambda: _agree(session))


def _agree(session: Session) -> Agreeing:
    rows = rows_as(_Score, session, _scores(), {"most": MOST_SCORES})
    names = {row.taster_id: row.taster_name for row in rows}
    counts = Counter(row.taster_id for row in rows)
    of: dict[int, dict[int, list[int]]] = {taster_id: {} for taster_id in names}
    days = {row.brew_id: row.brewed_on.toordinal() for row in rows}
    for row in rows:
        of[row.taster_id].setdefault(row.brew_id, []).append(row.liking)
    pairs = []
    for one, other in combinations(sorted(names, key=lambda n: (names[n], n)), 2):
        first, second = (
            {n: fmean(scores) for n, scores in of[who].items()} for who in (one, other)
        )
        shared = sorted(first.keys() & second.keys())
        found = agreement(
            [Both(days[n], first[n], second[n]) for n in shared],
            chosen=_chosen(first, second) or _chosen(second, first),
        )
        if found:
            pairs.append(TwoTasters(names[one], names[other], found))
    pairs.sort(key=lambda pair: -pair.found.cups)
    scores = [(taster_id, names[taster_id], count) for taster_id, count in counts.most_common()]
    return Agreeing(scores, pairs, len(rows) < MOST_SCORES, _together(scores, of, days))


def _together(
    scores: list[tuple[int, str, int]],
    of: Mapping[int, Mapping[int, list[int]]],
    days: Mapping[int, int],
) -> Together | None:
    """Of as many tasters as have three days with a cup in common; cups of a day count once."""
    for most in range(len(scores), LEAST_TASTERS - 1, -1):
        some = scores[:most]
        shared = set.intersection(*(set(of[taster_id]) for taster_id, _, _ in some))
        on: dict[int, list[int]] = {}
        for brew_id in shared:
            on.setdefault(days[brew_id], []).append(brew_id)
        found = concordance(
            [
                [fmean(fmean(of[taster_id][n]) for n in on[day]) for day in sorted(on)]
                for taster_id, _, _ in some
            ]
        )
        if found:
            return Together([name for _, name, _ in some], found)
    return None


def _chosen(scored: Mapping[int, float], other: Mapping[int, float]) -> bool:
    """Whether the other taster scored other cups than those left out, as this one's scores tell."""
    both, alone = ([scored[n] for n in scored if (n in other) is it] for it in (True, False))
    return are_others(both, alone)


@cache
def _scores() -> Query:
    return (
        select(*columns_of(_Score, Tasting, brewed_on=Brew.brewed_on, taster_name=Taster.name))
        .join(Brew, Brew.id == Tasting.brew_id)
        .join(Taster, Taster.id == Tasting.taster_id)
        .where(*counted(), Tasting.liking.is_not(None), Brew.binned_at.is_(None))
        .order_by(Tasting.id.desc())
        .limit(bindparam("most"))
    )
