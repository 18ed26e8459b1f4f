"""Planning an experiment and what is done to it, within the caller's transaction.

Every step happens once or not at all, whichever of several devices takes it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import uuid4

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.history import Thing, hold, record_done
from app.journal.tastings import counted
from app.models import Brew, Experiment, ExperimentFactor, ExperimentRun, Tasting
from app.sensory.scores.design import Factor, Run

BREWED_BEFORE = (
    "This run has its brew already: what you saved is in the journal, and no part of it."
)
GONE = "This run is gone, so the brew is no part of an experiment."
CLOSED = "The experiment is closed or in the bin: the brew is in the journal, and no part of it."
SCORED = "Its cup is scored already: leaving it out now would be choosing by the score."
OTHER_BAG = (
    "It was brewed from another bag, so it is no part of the experiment; the run still waits."
)


@dataclass(frozen=True, slots=True)
class Plan:
    """What an experiment is planned with; the factors are called as the fields of a brew."""

    bag_id: int
    taster_id: int
    like_id: int
    revision_id: int | None
    factors: Sequence[Factor]


def add_experiment(
    session: Session, plan: Plan, runs: Sequence[Run], now: datetime, key: str = ""
) -> Experiment:
    """An experiment with its runs in the order drawn, named by the `key` of its form."""
    row = Experiment(
        entry_key=key or str(uuid4()),
        planned_at=now,
        bag_id=plan.bag_id,
        taster_id=plan.taster_id,
        like_id=plan.like_id,
        revision_id=plan.revision_id,
    )
    session.add(row)
    session.flush()
    for place, factor in enumerate(plan.factors, 1):
        session.add(
            ExperimentFactor(
                experiment_id=row.id, place=place, field=factor.name,
                low=factor.low, high=factor.high,
            )
        )  # fmt: skip
    for place, run in enumerate(runs, 1):
        drawn = ExperimentRun(
            experiment_id=row.id, place=place, block=run.block, levels=list(run.levels)
        )
        session.add(drawn)
    session.flush()
    return row


def brewed(session: Session, run_id: int, brew_id: int) -> str:
    """Note what was brewed for a run; why it could not be, in a sentence, else nothing."""
    experiment_id = experiment_of(session, run_id)
    if experiment_id is None:
        return GONE
    hold(session, [Thing("experiment", experiment_id)])
    of = session.get_one(Experiment, experiment_id, populate_existing=True)
    run = session.get_one(ExperimentRun, run_id, populate_existing=True)
    if of.ended_at is not None or of.binned_at is not None:
        return CLOSED
    if session.get_one(Brew, brew_id).bag_id != of.bag_id:
        return OTHER_BAG
    before = session.get(Brew, run.brew_id) if run.brew_id else None
    if before is not None and before.binned_at is None and before.bag_id == of.bag_id:
        return BREWED_BEFORE
    run.brew_id, run.skipped_at = brew_id, None
    return ""


def skip(session: Session, run_id: int, now: datetime) -> int | None:
    """Leave a run out; its experiment, None where there is no such run.

    ValueError, with a sentence to show, once its cup is scored: what scored badly would be left
    out first.
    """
    run = _held(session, run_id)
    if run is None:
        return None
    scored = select(Tasting.id).where(
        Tasting.brew_id == run.brew_id, Tasting.liking.is_not(None), *counted()
    )
    if run.brew_id and session.scalar(scored.limit(1)):
        raise ValueError(SCORED)
    if run.skipped_at is None:
        run.skipped_at = now
        record_done(session.get_one(Experiment, run.experiment_id), f"brew {run.place} left out")
    return run.experiment_id


def take_up_run(session: Session, run_id: int) -> int | None:
    """Take back that a run was left out; its experiment, None where there is no such run."""
    run = _held(session, run_id)
    if run is None:
        return None
    if run.skipped_at is not None:
        run.skipped_at = None
        record_done(session.get_one(Experiment, run.experiment_id), f"brew {run.place} taken back")
    return run.experiment_id


def end(session: Session, of: Experiment, now: datetime) -> None:
    """Close an experiment before its last run."""
    _hold(session, of)
    if of.ended_at is None:
        of.ended_at = now
        record_done(of, "stopped early")


def take_up(session: Session, of: Experiment) -> None:
    _hold(session, of)
    if of.ended_at is not None:
        of.ended_at = None
        record_done(of, "taken up again")


def experiment_of(session: Session, run_id: int) -> int | None:
    """The experiment of a run; None where there is no such run."""
    return session.scalar(select(ExperimentRun.experiment_id).where(ExperimentRun.id == run_id))


def _hold(session: Session, of: Experiment) -> None:
    hold(session, [Thing("experiment", of.id)])
    session.refresh(of)


def _held(session: Session, run_id: int) -> ExperimentRun | None:
    experiment_id = experiment_of(session, run_id)
    if experiment_id is None:
        return None
    hold(session, [Thing("experiment", experiment_id)])
    return session.get_one(ExperimentRun, run_id, populate_existing=True)
