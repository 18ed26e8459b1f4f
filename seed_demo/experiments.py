"""The household's experiment: two things varied over fifteen of Nell's cups, all brewed and scored.

Planned, drawn and read by the functions behind its pages; what it finds follows from the hidden
palate alone.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any

from sqlalchemy import select

from app.journal.experiments.saving import Plan, add_experiment, brewed
from app.journal.experiments.settings import as_stored, base_values, settings_at
from app.models import ExperimentRun
from app.sensory.scores.design import Design, Factor, schedule
from seed_demo.bench import Bench
from seed_demo.blind_tests import at

TASTER = "Nell"
FACTORS = (Factor("dose_g", 13.5, 19.5), Factor("steep_s", 125, 285))
DESIGN = Design(len(FACTORS), rounds=3, centres=3)
DAYS_BEFORE_THE_END = 19  # the first run
# By the place of the run: what was made otherwise than drawn, and counts as it was made.
OTHERWISE: dict[int, dict[str, Any]] = {
    8: {"steep_s": 310, "note": "The doorbell: it stood until I was back."}
}


def planned_at(end_on: date) -> datetime:
    """The evening before the first run."""
    return at(end_on - timedelta(days=DAYS_BEFORE_THE_END + 1), 20, 15)


def add_runs(bench: Bench, end_on: date) -> None:
    """The experiment with a run a day, each brewed and scored."""
    session, like = bench.session, bench.like
    taster = bench.stock.tasters[TASTER]
    plan = Plan(bench.opened.bag.id, taster.id, like.id, like.revision_id, FACTORS)
    drawn = schedule(DESIGN, bench.rng)
    of = add_experiment(session, plan, drawn, planned_at(end_on), bench.key())
    base = replace(base_values(session, like.id, like.revision_id), bag_id=bench.opened.bag.id)
    of_it = select(ExperimentRun).where(ExperimentRun.experiment_id == of.id)
    for run in session.scalars(of_it.order_by(ExperimentRun.place)).all():
        day = end_on - timedelta(days=DAYS_BEFORE_THE_END + 1 - run.place)
        made = as_stored(settings_at(FACTORS, run.levels)) | OTHERWISE.get(run.place, {})
        values = replace(base, **made)
        papers = [bench.drawer.single(day)]
        minute = bench.rng.randint(5, 50)
        cup, tastings = bench.brew(values, at(day, 9, minute), papers, (TASTER,))
        session.add_all(tastings)
        brewed(session, run.id, cup.brew.id)
