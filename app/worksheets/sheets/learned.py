"""What the household's weighed and measured brews have taught, and how well that predicts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from sqlalchemy.orm import Session

from ...brewing.calibration import DRIP_PRIOR_SD, PRIOR_SD, left_out
from ...brewing.cup import Ranged
from ...brewing.estimate import measured_over_estimated, read_cup
from ...brewing.extraction import FORMULAS
from ...brewing.misses import Misses, misses
from ...brews.readings import MOST_OF_A_KIND, Gear, Learned, cup_of, learned
from ...gear.learned import Held, Offset, held_by, offsets_of
from ...gear.queries import grinder_names
from .. import queries

MOST_SHOWN = 200


@dataclass(frozen=True)
class BrewerLearned:
    """One brewer: what its grounds hold, and its offset for each grinder."""

    id: int
    name: str
    kind: str
    held: Held | None
    offsets: Sequence[Offset]


@dataclass(frozen=True)
class Predicted:
    """One measured brew, its strength as estimated from all the others and from none."""

    id: int
    brewed_on: date
    brewer_name: str
    measured_pct: float
    plain: Ranged
    learned: Ranged


@dataclass(frozen=True)
class WhatIsLearned:
    brewers: Sequence[BrewerLearned]
    grinders: Mapping[int | None, str]
    predicted: Sequence[Predicted]
    misses: Misses | None


def what_is_learned(session: Session) -> WhatIsLearned:
    known = learned(session)
    brewers = [
        BrewerLearned(
            row.id, row.name, row.kind, held_by(row.id, row.kind, known), offsets_of(row.id, known)
        )
        for row in queries.brewers(session, None)
    ]
    predicted = _predicted(queries.measured_brews(session, MOST_SHOWN), known)
    return WhatIsLearned(
        brewers,
        grinder_names(session, [grinder_id for _, grinder_id in known.calibrations]),
        predicted,
        misses([(p.measured_pct, p.plain, p.learned) for p in predicted]) if predicted else None,
    )


def _predicted(rows: Sequence[Any], known: Learned) -> list[Predicted]:
    """Each brew estimated from the others of its brewer and grinder, newest first."""
    by_gear: dict[Gear, list[Any]] = {}
    for row in rows:
        by_gear.setdefault((row.brewer_id, row.grinder_id), []).append(row)
    found = [one for gear, own in by_gear.items() for one in _of_gear(own, known, gear[0])]
    return sorted(found, key=lambda one: (one.brewed_on, one.id), reverse=True)


def _of_gear(rows: Sequence[Any], known: Learned, brewer_id: int) -> list[Predicted]:
    held = known.retained.get(brewer_id)
    ratios = [(row, measured_over_estimated(cup_of(row), held)) for row in rows[:MOST_OF_A_KIND]]
    usable = [(row, ratio) for row, ratio in ratios if ratio is not None]
    if not usable:
        return []
    prior_sd = DRIP_PRIOR_SD if FORMULAS[rows[0].kind] == "drip" else PRIOR_SD
    calibrations = left_out([ratio for _, ratio in usable], prior_sd)
    found = []
    for (row, _), calibration in zip(usable, calibrations, strict=True):
        cup = replace(cup_of(row), tds_pct=None)
        plain, own = read_cup(cup).strength_pct, read_cup(cup, calibration, held).strength_pct
        if plain is not None and own is not None:
            found.append(Predicted(row.id, row.brewed_on, row.brewer_name, row.tds_pct, plain, own))
    return found
