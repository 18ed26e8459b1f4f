"""Scores of two cups: per taster, beside that taster's own spread between repeats."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import fmean

from app.brewing.tolerances import TOLERANCES
from app.journal.pairs.fairness import agrees
from app.journal.pairs.setup import Setup
from app.journal.tastings import TastingRow
from app.sensory.scores.repeats import AgainstRepeats, Repeat, against_repeats

# Mean liking by brew, then taster.
Likings = Mapping[int, Mapping[int, float]]
Days = Mapping[int, date]
Group = tuple[Setup, list[int]]


@dataclass(frozen=True, slots=True)
class TasterScores:
    """One taster's mean liking of each cup; `comparison` is B less A, if both were scored."""

    taster_id: int
    taster_name: str
    a: float | None
    b: float | None
    comparison: AgainstRepeats | None
    sighted: bool


def scores(
    of_a: Sequence[TastingRow],
    of_b: Sequence[TastingRow],
    repeats: Sequence[Sequence[int]],
    likings: Likings,
    days: Days,
) -> list[TasterScores]:
    """Every taster who scored either cup, those of both first; `repeats` are brews that agree.

    `days` is when each brew was made, A and B among them.
    """
    names = {row.taster_id: row.taster_name for row in (*of_a, *of_b) if row.liking is not None}
    found = []
    for taster_id, name in names.items():
        own_a, own_b = _by(taster_id, of_a), _by(taster_id, of_b)
        a, b = _mean(own_a), _mean(own_b)
        comparison = None
        if a is not None and b is not None:
            groups = [_repeats_in(group, taster_id, likings, days) for group in repeats]
            one_day = days[of_a[0].brew_id] == days[of_b[0].brew_id]
            comparison = against_repeats(b - a, groups, one_day=one_day)
        sighted = not all(row.blind for row in (*own_a, *own_b))
        found.append(TasterScores(taster_id, name, a, b, comparison, sighted))
    return sorted(found, key=lambda t: (t.comparison is None, t.taster_name, t.taster_id))


def _by(taster_id: int, tastings: Sequence[TastingRow]) -> list[TastingRow]:
    return [row for row in tastings if row.taster_id == taster_id and row.liking is not None]


def _mean(tastings: Sequence[TastingRow]) -> float | None:
    scores = [row.liking for row in tastings if row.liking is not None]
    return fmean(scores) if scores else None


def _repeats_in(group: Sequence[int], taster_id: int, likings: Likings, days: Days) -> list[Repeat]:
    return [
        Repeat(days[brew_id], likings[brew_id][taster_id])
        for brew_id in group
        if taster_id in likings[brew_id]
    ]


def repeat_groups(setups: Mapping[int, Setup]) -> list[list[int]]:
    """Brews that agree with the first of their group, by brew id; `setups` are in order of time.

    Groups of one are left out. Quick on long journals: brews are only compared when alike in what
    is not a number, and close in age.
    """
    alike: dict[tuple[object, ...], list[Group]] = {}
    for brew_id, own in setups.items():
        key = (own.bag_id, own.first_brewer_id, own.grinder_id, own.grind, own.water_id, own.stack)
        groups = alike.setdefault(key, [])
        group = _group_of(own, groups)
        if group is None:
            groups.append((own, [brew_id]))
        else:
            group.append(brew_id)
    return [members for groups in alike.values() for _, members in groups if len(members) > 1]


def _group_of(own: Setup, groups: Sequence[Group]) -> list[int] | None:
    for first, members in reversed(groups):
        if own.age_days - first.age_days > TOLERANCES["age_days"]:
            return None
        if agrees(first, own):
            return members
    return None
