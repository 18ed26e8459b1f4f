"""What the household's weighed and measured brews have taught, and how well that predicts."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from sqlalchemy.orm import Session

from app.brewing.ranged import Ranged
from app.brewing.strength.estimate import estimate_cup, measured_over_estimated
from app.brewing.strength.measured import Misses, misses
from app.charts.figure import Figure
from app.charts.predicted_measured import predicted_measured
from app.database import while_unchanged
from app.journal import gear
from app.journal.estimates import MeasuredRow, cup_of, learn_from, learned
from app.journal.gear import BrewerRow, grinder_names
from app.journal.learned import Offset, Retention, offsets_of, retention_of
from app.worksheets import queries
from app.worksheets.queries import MeasuredBrew, MeasuredBrews

MOST_SHOWN = 200


@dataclass(frozen=True)
class BrewerLearned:
    """One brewer: what its grounds hold, and its offset for each grinder."""

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
class WhatIsLearned:
    brewers: Sequence[BrewerLearned]
    grinders: Mapping[int | None, str]
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
        BrewerLearned(row, retention_of(row.id, row.kind, known), offsets_of(row.id, known))
        for row in gear.brewers(session, None)
    ]
    predicted = while_unchanged(
        session, "predicted", lambda: _predicted(queries.measured_brews(session, MOST_SHOWN))
    )
    return WhatIsLearned(
        brewers,
        grinder_names(session, [grinder_id for _, grinder_id in known.calibrations]),
        predicted,
        misses([(p.measured_pct, p.plain, p.learned) for p in predicted]) if predicted else None,
    )


def _predicted(rows: MeasuredBrews) -> list[Predicted]:
    """Each brew estimated from what the others of its brewer alone would teach, newest first."""
    by_brewer: dict[int, list[MeasuredRow]] = {}
    for _, row in rows:
        by_brewer.setdefault(row.brewer_id, []).append(row)
    predicted = (_from_others(brew, row, by_brewer[row.brewer_id]) for brew, row in rows)
    return [brew for brew in predicted if brew is not None]


def _from_others(
    brew: MeasuredBrew, row: MeasuredRow, of_brewer: Sequence[MeasuredRow]
) -> Predicted | None:
    """None where this kind of brewer has no model, or the strength cannot be that of the brew."""
    if measured_over_estimated(cup_of(row)) is None:
        return None
    known = learn_from(other for other in of_brewer if other is not row)
    cup = replace(cup_of(row), tds_pct=None)
    calibration = known.calibrations.get((row.brewer_id, row.grinder_id))
    plain = estimate_cup(cup).strength_pct
    own = estimate_cup(cup, calibration, known.retained.get(row.brewer_id)).strength_pct
    if plain is None or own is None or row.tds_pct is None:
        return None
    return Predicted(brew, row.tds_pct, plain, own)
