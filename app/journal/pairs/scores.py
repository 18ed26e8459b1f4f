"""Scores of two cups: per taster, beside that taster's own spread between repeats."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean
from typing import Any

from app.journal.pairs.fairness import agrees
from app.journal.pairs.setup import TOLERANCES, Settings
from app.sensory.scores.liking import Comparison, against_spread, spread_of_repeats

Likings = Mapping[int, Mapping[int, float]]
Group = tuple[Settings, list[int]]


@dataclass(frozen=True, slots=True)
class TasterScores:
    """One taster's mean liking of each cup; `comparison` is B less A, if both were scored."""

    taster_id: int
    taster_name: str
    a: float | None
    b: float | None
    comparison: Comparison | None
    sighted: bool


def scores(
    of_a: Sequence[Any], of_b: Sequence[Any], repeats: Sequence[Sequence[int]], likings: Likings
) -> list[TasterScores]:
    """Every taster who scored either cup, those who scored both first.

    `of_a` and `of_b` are rows of tastings, `repeats` groups of brews that agree, `likings` the
    mean liking by brew, then taster.
    """
    names = {row.taster_id: row.taster_name for row in (*of_a, *of_b) if row.liking is not None}
    found = [
        _of_taster(taster_id, name, of_a, of_b, repeats, likings)
        for taster_id, name in names.items()
    ]
    return sorted(found, key=lambda one: (one.comparison is None, one.taster_name, one.taster_id))


def _of_taster(
    taster_id: int,
    name: str,
    of_a: Sequence[Any],
    of_b: Sequence[Any],
    repeats: Sequence[Sequence[int]],
    likings: Likings,
) -> TasterScores:
    own_a, own_b = _by(taster_id, of_a), _by(taster_id, of_b)
    a, b = _mean(own_a), _mean(own_b)
    comparison = None
    if a is not None and b is not None:
        groups = [_of(taster_id, group, likings) for group in repeats]
        comparison = against_spread(b - a, spread_of_repeats(groups))
    sighted = not all(row.blind for row in (*own_a, *own_b))
    return TasterScores(taster_id, name, a, b, comparison, sighted)


def _by(taster_id: int, tastings: Sequence[Any]) -> list[Any]:
    return [row for row in tastings if row.taster_id == taster_id and row.liking is not None]


def _of(taster_id: int, group: Sequence[int], likings: Likings) -> list[float]:
    each = (likings[brew_id] for brew_id in group)
    return [by_taster[taster_id] for by_taster in each if taster_id in by_taster]


def _mean(tastings: Sequence[Any]) -> float | None:
    return fmean(row.liking for row in tastings) if tastings else None


def repeat_groups(settings: Mapping[int, Settings]) -> list[list[int]]:
    """Brews that agree with the first of their group, by brew id; `settings` in order of time.

    Groups of one are left out. Quick on long journals: brews are only compared when alike in what
    is not a number, and close in age.
    """
    alike: dict[tuple[Any, ...], list[Group]] = {}
    for brew_id, own in settings.items():
        key = (own.bag_id, own.brewer_id, own.grinder_id, own.grind, own.water_id, own.stack)
        groups = alike.setdefault(key, [])
        group = _group_of(own, groups)
        if group is None:
            groups.append((own, [brew_id]))
        else:
            group.append(brew_id)
    return [members for groups in alike.values() for _, members in groups if len(members) > 1]


def _group_of(own: Settings, groups: Sequence[Group]) -> list[int] | None:
    for first, members in reversed(groups):
        if own.age_days - first.age_days > TOLERANCES["age_days"]:
            return None
        if agrees(first, own):
            return members
    return None
