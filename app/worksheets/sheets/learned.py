"""What the household's weighed and measured brews have taught, and how well that predicts."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from sqlalchemy.orm import Session

from app.brewing.ranged import Ranged
from app.brewing.strength.estimate import estimate_cup
from app.brewing.strength.left_out import why_not_its_strength
from app.brewing.strength.measured import Misses, misses
from app.charts.figure import Figure
from app.charts.predicted_measured import predicted_measured
from app.database import while_unchanged
from app.journal import gear
from app.journal.estimates import learned
from app.journal.gear import BrewerRow, grinder_names
from app.journal.learned import Offset, Retention, offsets_of, retention_of
from app.journal.lessons import (
    Learned,
    MeasuredRow,
    brewer,
    brewer_and_grinder,
    cup_of,
    grouped,
    learn_from,
)
from app.journal.pairs.fairness import listed
from app.worksheets import queries
from app.worksheets.queries import MeasuredBrew, MeasuredBrews

MOST_SHOWN = 200


@dataclass(frozen=True)
class BrewerLearned:
    """One brewer, or several that are alike: what its grounds hold, its offset for each grinder."""

    row: BrewerRow
    held: Retention | None
    offsets: Sequence[Offset]


@dataclass(frozen=True)
class Predicted:
    """One measured brew, its strength as estimated from all the others and from none."""

    brew: MeasuredBrew
    measured_pct: float
    plain: Ranged
    learned: Ranged


@dataclass(frozen=True)
class LeftOut:
    """A brew that teaches nothing, or not all it might, and why."""

    brew: MeasuredBrew
    why: str


@dataclass(frozen=True)
class WhatIsLearned:
    brewers: Sequence[BrewerLearned]
    grinders: Mapping[int | None, str]
    left_out: Sequence[LeftOut]
    predicted: Sequence[Predicted]
    misses: Misses | None

    @property
    def figure(self) -> Figure:
        return predicted_measured(
            [brew.measured_pct for brew in self.predicted],
            [brew.plain for brew in self.predicted],
            [brew.learned for brew in self.predicted],
        )


def what_is_learned(session: Session) -> WhatIsLearned:
    known = learned(session)
    brewers = [
        BrewerLearned(
            row, retention_of(row.first_id, row.kind, known), offsets_of(row.first_id, known)
        )
        for row in _as_one(gear.brewers(session, None))
    ]
    predicted, left_out = while_unchanged(session, "predicted", lambda: _looked_at(session, known))
    return WhatIsLearned(
        brewers,
        grinder_names(session, [grinder_id for _, grinder_id in known.calibrations]),
        left_out,
        predicted,
        misses([(p.measured_pct, p.plain, p.learned) for p in predicted]) if predicted else None,
    )


def _as_one(rows: Sequence[BrewerRow]) -> list[BrewerRow]:
    """One row, with the names of all, for brewers that are alike."""
    alike: dict[int, list[BrewerRow]] = {}
    for row in rows:
        alike.setdefault(row.first_id, []).append(row)
    return [of[0]._replace(name=listed([row.name for row in of])) for of in alike.values()]


def _looked_at(session: Session, known: Learned) -> tuple[list[Predicted], list[LeftOut]]:
    measured = queries.measured_brews(session, MOST_SHOWN)
    weighed = queries.weighed_brews(session, MOST_SHOWN)
    whys = {brew: why for brew, row in (*measured, *weighed) if (why := known.left_out.get(row))}
    newest = sorted(whys, key=lambda brew: (brew.brewed_on, brew.id), reverse=True)
    left_out = [LeftOut(brew, whys[brew]) for brew in newest]
    return _predicted(measured, [row for _, row in weighed]), left_out


def _predicted(rows: MeasuredBrews, weighed: Sequence[MeasuredRow]) -> list[Predicted]:
    """Each brew estimated from what the others of its brewer alone would teach, newest first."""
    measured_of = grouped((row for _, row in rows), brewer_and_grinder)
    weighed_of = grouped(weighed, brewer)
    predicted = (
        _from_others(
            brew, row, measured_of[brewer_and_grinder(row)], weighed_of.get(row.first_brewer_id, [])
        )
        for brew, row in rows
    )
    return [brew for brew in predicted if brew is not None]


def _from_others(
    brew: MeasuredBrew,
    row: MeasuredRow,
    measured: Sequence[MeasuredRow],
    weighed: Sequence[MeasuredRow],
) -> Predicted | None:
    """None where this kind of brewer has no model, or the brew itself teaches nothing."""
    if row.tds_pct is None or why_not_its_strength(cup_of(row)):
        return None
    known = learn_from(_without(row, measured), _without(row, weighed))
    cup = replace(cup_of(row), tds_pct=None, brix=None)
    calibration = known.calibrations.get((row.first_brewer_id, row.grinder_id))
    plain = estimate_cup(cup).strength_pct
    own = estimate_cup(cup, calibration, known.retained.get(row.first_brewer_id)).strength_pct
    if plain is None or own is None:
        return None
    return Predicted(brew, row.tds_pct, plain, own)


def _without(row: MeasuredRow, rows: Sequence[MeasuredRow]) -> list[MeasuredRow]:
    """The rows less this one, or one that is equal to it."""
    others = list(rows)
    if row in others:
        others.remove(row)
    return others
