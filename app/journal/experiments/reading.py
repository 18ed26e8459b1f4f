"""Reading experiments: the list, one with its factors and runs, the run that waits."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from functools import cache
from typing import NamedTuple

from sqlalchemy import ColumnElement, and_, func, or_, select
from sqlalchemy.orm import Session, aliased

from app.journal.experiments.settings import settings_at
from app.journal.paging import Page, read_page
from app.journal.people import called, person
from app.journal.rows import Query, columns_of, row_as, rows_as
from app.models import Bag, Bean, Brew, Experiment, ExperimentFactor, ExperimentRun, Taster
from app.sensory.scores.design import Factor

MOST_WAITING = 2  # on the first page


class ExperimentRow(NamedTuple):
    """An experiment with the names its pages show."""

    id: int
    planned_at: datetime
    ended_at: datetime | None
    binned_at: datetime | None
    bag_id: int
    bean_name: str
    taster_id: int
    taster_name: str
    like_id: int
    revision_id: int | None


class RunRow(NamedTuple):
    """A run as it was drawn; its brew, and where that is now."""

    id: int
    experiment_id: int
    place: int
    block: int
    levels: list[int]
    skipped_at: datetime | None
    brew_id: int | None
    brewed_on: date | None
    brew_binned_at: datetime | None
    brew_bag_id: int | None


class Waiting(NamedTuple):
    """The run that waits next, of an experiment that is neither closed nor in the bin. `made` of
    `runs` have their brew or were left out; `last_on` is the day of the latest brew."""

    run_id: int
    experiment_id: int
    levels: list[int]
    bean_name: str
    made: int
    runs: int
    last_on: date | None


def experiment_row(session: Session, experiment_id: int) -> ExperimentRow | None:
    return row_as(ExperimentRow, session, _experiments().where(Experiment.id == experiment_id))


def experiments_page(session: Session, args: Mapping[str, str]) -> Page[ExperimentRow]:
    """Experiments, the latest planned first."""
    return read_page(
        lambda limited: rows_as(ExperimentRow, session, limited),
        _experiments().where(Experiment.binned_at.is_(None)),
        Experiment.planned_at,
        Experiment.id,
        lambda row: (row.planned_at, row.id),
        args,
    )


def _experiments() -> Query:
    columns = columns_of(
        ExperimentRow, Experiment, bean_name=Bean.name, taster_id=person(), taster_name=called()
    )
    return (
        select(*columns)
        .join(Bag, Bag.id == Experiment.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .join(Taster, Taster.id == Experiment.taster_id)
    )


def factors_of(session: Session, experiment_ids: Iterable[int]) -> dict[int, list[Factor]]:
    """The factors by experiment, in their order, called as the fields of a brew."""
    query = (
        select(ExperimentFactor)
        .where(ExperimentFactor.experiment_id.in_(list(experiment_ids)))
        .order_by(ExperimentFactor.experiment_id, ExperimentFactor.place)
    )
    found: dict[int, list[Factor]] = {}
    for row in session.scalars(query):
        found.setdefault(row.experiment_id, []).append(Factor(row.field, row.low, row.high))
    return found


def runs_of(session: Session, experiment_id: int) -> list[RunRow]:
    of_brew = {
        "brewed_on": Brew.brewed_on, "brew_binned_at": Brew.binned_at, "brew_bag_id": Brew.bag_id,
    }  # fmt: skip
    query = (
        select(*columns_of(RunRow, ExperimentRun, **of_brew))
        .outerjoin(Brew, Brew.id == ExperimentRun.brew_id)
        .where(ExperimentRun.experiment_id == experiment_id)
        .order_by(ExperimentRun.place)
    )
    return rows_as(RunRow, session, query)


def waiting(session: Session) -> list[Waiting]:
    """The next run of each of the latest experiments under way."""
    return rows_as(Waiting, session, _waiting())


@cache
def _waiting() -> Query:
    """Put together once, since Today asks it at every opening."""
    run, other, brew = ExperimentRun, aliased(ExperimentRun), aliased(Brew)
    first = (
        select(func.min(other.place))
        .outerjoin(brew, brew.id == other.brew_id)
        .where(other.experiment_id == Experiment.id, _waits(other, brew))
        .correlate(Experiment)
        .scalar_subquery()
    )
    every = select(func.count()).where(other.experiment_id == Experiment.id).correlate(Experiment)
    open_ones = (
        select(func.count())
        .select_from(other)
        .outerjoin(brew, brew.id == other.brew_id)
        .where(other.experiment_id == Experiment.id, _waits(other, brew))
        .correlate(Experiment)
        .scalar_subquery()
    )
    last_on = (
        select(func.max(brew.brewed_on))
        .join(other, other.brew_id == brew.id)
        .where(other.experiment_id == Experiment.id, brew.binned_at.is_(None))
        .correlate(Experiment)
        .scalar_subquery()
    )
    columns = {
        "run_id": run.id, "bean_name": Bean.name, "runs": every.scalar_subquery(),
        "made": every.scalar_subquery() - open_ones, "last_on": last_on,
    }  # fmt: skip
    return (
        select(*columns_of(Waiting, run, **columns))
        .select_from(Experiment)
        .join(run, and_(run.experiment_id == Experiment.id, run.place == first))
        .join(Bag, Bag.id == Experiment.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Experiment.binned_at.is_(None), Experiment.ended_at.is_(None))
        .order_by(Experiment.planned_at.desc(), Experiment.id.desc())
        .limit(MOST_WAITING)
    )


def _waits(run: type[ExperimentRun], brew: type[Brew]) -> ColumnElement[bool]:
    """A run that was not left out and has no brew, or one that is in the bin."""
    return and_(run.skipped_at.is_(None), or_(run.brew_id.is_(None), brew.binned_at.is_not(None)))


class RunToBrew(NamedTuple):
    """A run that waits, and what its brew is like; `settings` are what was drawn, by field."""

    id: int
    bag_id: int
    like_id: int
    revision_id: int | None
    settings: Mapping[str, float]


def run_to_brew(session: Session, run_id: int) -> RunToBrew | None:
    """A run that can be brewed; None where it has its brew, or its experiment is over."""
    query = (
        select(ExperimentRun, Experiment)
        .join(Experiment, Experiment.id == ExperimentRun.experiment_id)
        .outerjoin(Brew, Brew.id == ExperimentRun.brew_id)
        .where(
            ExperimentRun.id == run_id, Experiment.binned_at.is_(None),
            Experiment.ended_at.is_(None),
            or_(
                ExperimentRun.brew_id.is_(None), Brew.binned_at.is_not(None),
                Brew.bag_id != Experiment.bag_id,
            ),
        )
    )  # fmt: skip
    row = session.execute(query).one_or_none()
    if row is None:
        return None
    run, of = row
    factors = factors_of(session, [of.id]).get(of.id, [])
    return RunToBrew(
        run.id, of.bag_id, of.like_id, of.revision_id, settings_at(factors, run.levels)
    )
