"""How far an experiment is: which brews count, at the settings they were really made with, which
wait or are left out and why, and what differs besides."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from sqlalchemy import Float, cast, func, select
from sqlalchemy.orm import Session

from app.brewing.tolerances import TOLERANCES
from app.journal.experiments.reading import ExperimentRow, RunRow, factors_of, runs_of
from app.journal.experiments.settings import number_of, settings_at
from app.journal.pairs.fairness import compare
from app.journal.pairs.pair import Side, read_sides
from app.journal.pairs.setup import LABELS
from app.journal.tastings import counted
from app.models import Tasting
from app.sensory.scores.design import Factor
from app.sensory.scores.effects import Tried

MOST_OUT = 2.0  # coded: half a span beyond low or high
# These follow from the day and the recipe, and are no choice of whoever brews.
NOT_SET = {"age_days", "steps"}

State = Literal["waits", "left out by hand", "to taste", "counts", "left out"]


@dataclass(frozen=True)
class StandingRun:
    """A run: `planned` and `made` are its settings by field, `changed` those fields that were made
    otherwise. `why` says why a brew that was made does not count."""

    row: RunRow
    planned: Mapping[str, float]
    state: State
    made: Mapping[str, float] = field(default_factory=dict)
    changed: Sequence[str] = ()
    liking: float | None = None
    why: str = ""

    @property
    def is_open(self) -> bool:
        return self.state == "waits"


@dataclass(frozen=True)
class Standing:
    """`tried` are the brews that count; `differs` what else was not as in the first of them, with
    the places of the runs; `blind` how many of the tastings were blind."""

    row: ExperimentRow
    factors: Sequence[Factor]
    runs: Sequence[StandingRun]
    tried: Sequence[Tried]
    differs: Mapping[str, Sequence[int]]
    tastings: int
    blind: int

    @property
    def next(self) -> StandingRun | None:
        over = self.row.ended_at is not None or self.row.binned_at is not None
        return None if over else next((run for run in self.runs if run.is_open), None)

    @property
    def counting(self) -> list[StandingRun]:
        return [run for run in self.runs if run.state == "counts"]

    def day_of_last(self) -> date | None:
        days = [run.row.brewed_on for run in self.runs if run.made and run.row.brewed_on]
        return max(days, default=None)


def standing(session: Session, row: ExperimentRow) -> Standing:
    """Read and judge all runs of an experiment."""
    factors = factors_of(session, [row.id]).get(row.id, [])
    rows = runs_of(session, row.id)
    made = [run.brew_id for run in rows if run.brew_id and not run.brew_binned_at]
    sides = read_sides(session, made) if made else {}
    likings = _likings(session, row.taster_id, made) if made else {}
    runs = [_judged(run, row, factors, sides.get(run.brew_id or 0), likings) for run in rows]
    tried = [
        Tried(
            tuple(factor.coded(run.made[factor.name]) for factor in factors),
            run.liking,
            float(run.row.brewed_on.toordinal()),
        )
        for run in runs
        if run.state == "counts" and run.liking is not None and run.row.brewed_on
    ]
    counts = [likings[run.row.brew_id] for run in runs if run.state == "counts" and run.row.brew_id]
    return Standing(
        row, factors, runs, tried, _differs(runs, factors, sides),
        sum(one.tastings for one in counts), sum(one.blind for one in counts),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Liking:
    mean: float
    tastings: int
    blind: int


def _likings(session: Session, taster_id: int, brew_ids: Sequence[int]) -> dict[int, _Liking]:
    """The taster's mean liking of each brew, with how many tastings it has."""
    mean = cast(func.avg(Tasting.liking), Float)
    blind = func.count().filter(Tasting.blind)
    query = (
        select(
            Tasting.brew_id, mean.label("mean"), func.count().label("many"), blind.label("blind")
        )
        .where(
            Tasting.brew_id.in_(brew_ids),
            Tasting.taster_id == taster_id,
            Tasting.liking.is_not(None),
            *counted(),
        )
        .group_by(Tasting.brew_id)
    )
    rows = session.execute(query)
    return {row.brew_id: _Liking(row.mean, row.many, row.blind) for row in rows}


def _judged(
    run: RunRow,
    of: ExperimentRow,
    factors: Sequence[Factor],
    side: Side | None,
    likings: Mapping[int, _Liking],
) -> StandingRun:
    planned = settings_at(factors, run.levels)
    if side is None or run.brew_id is None:
        return StandingRun(run, planned, "left out by hand" if run.skipped_at else "waits")
    noted = {factor.name: number_of(getattr(side.row, factor.name)) for factor in factors}
    made = {name: value for name, value in noted.items() if value is not None}
    liked = likings.get(run.brew_id)
    changed = [
        name for name, value in made.items()
        if abs(value - planned[name]) > TOLERANCES.get(name, 0.0) + 1e-9
    ]  # fmt: skip
    why = _why_not(side, of, factors, made)
    state: State = "left out" if why else "counts" if liked else "to taste"
    if run.skipped_at:
        state, why = "left out by hand", ""
    return StandingRun(run, planned, state, made, changed, liked.mean if liked else None, why)


def _why_not(
    side: Side, of: ExperimentRow, factors: Sequence[Factor], made: Mapping[str, float]
) -> str:
    if side.row.bag_id != of.bag_id:
        return "of another bag"
    missing = [LABELS[one.name] for one in factors if one.name not in made]
    if missing:
        return f"{' and '.join(missing)} not noted as a number"
    far = [LABELS[one.name] for one in factors if abs(one.coded(made[one.name])) > MOST_OUT]
    return f"{' and '.join(far)} too far from all that was planned" if far else ""


def _differs(
    runs: Sequence[StandingRun], factors: Sequence[Factor], sides: Mapping[int, Side]
) -> dict[str, list[int]]:
    counting = [run for run in runs if run.state == "counts" and run.row.brew_id]
    found: dict[str, list[int]] = {}
    if not counting:
        return found
    varied = {factor.name for factor in factors}
    first = sides[counting[0].row.brew_id or 0]
    for run in counting[1:]:
        states = compare(first.setup, sides[run.row.brew_id or 0].setup).states
        for name, state in states.items():
            if state == "differs" and name not in varied | NOT_SET:
                found.setdefault(LABELS[name], []).append(run.row.place)
    return found
