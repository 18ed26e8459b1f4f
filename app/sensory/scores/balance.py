"""What else differs between two groups of cups, and where it could explain how they were liked.

Nobody drew by lot which morning got which, so whatever else differed may be the reason. Something
could explain a difference where it differs itself and the difference is no longer beyond chance
once a straight line in it (or a level for each of its kinds) is taken out (analysis of covariance;
Cochran 1957, Biometrics 13:261; both from memory), or where the groups hardly share any of its
values, so that there is nothing to take it out by. These limits are our own rule, which would
rather name one thing too many; no cause is named by what is left over.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Literal

from app.sensory.lazy import Bools, Floats, Integers, np, special
from app.sensory.scores.apart import Apart, Days, resemblance
from app.sensory.scores.repeats import LEAST_SD

LEAST_T = 1.5  # as far apart as chance alone brings in about one case of seven
LEAST_SHARE = 0.1  # of the cups that would have to change kind
HARDLY_SHARED = 1.0  # means this many standard deviations apart
LEAST_DF = 3
LEAST_KNOWN = 0.5
LESS_SCORED = 1.64  # standard errors between two shares of brews that were scored

Verdict = Literal["alike", "differs", "could explain", "not noted"]
Value = float | str | None


@dataclass(frozen=True, slots=True)
class Beside:
    """One thing that was noted of the cups, a number (`a` and `b` are means) or of kinds (`share`
    is that of the cups which would have to change kind for the groups to be alike).

    `low` and `high` are the range of the difference in liking with it taken out, where that could
    be done.
    """

    name: str
    verdict: Verdict
    a: float | None = None
    b: float | None = None
    share: float | None = None
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Thing:
    """A name, its value for each cup (numbers or words, None: not noted), and the tolerance within
    which two numbers are the same."""

    name: str
    values: Sequence[Value]
    same: float = 0.0


@dataclass(frozen=True, slots=True)
class _Units:
    """What is compared, and where each cup is in it.

    A cell is a day of a group, those of A first; `cell` is that of each cup, `in_a` marks cells of
    A. `y` are the scores of the rows compared: the cells, or for pairs the days with both, cell `a`
    less cell `b`. `side` is 1 for a row of A or a pair, and 0 for one of B.
    """

    cell: Integers
    in_a: Bools
    a: Integers
    b: Integers
    y: Floats
    side: Floats
    wider: float
    found: Apart

    @property
    def pairs(self) -> bool:
        return self.found.by == "pairs"

    def rows(self, cells: Floats) -> Floats:
        """Values of cells as values of rows."""
        return cells[self.a] - cells[self.b] if self.pairs else cells


def beside(
    things: Iterable[Thing], cups: Sequence[tuple[int, bool]], days: Days, found: Apart
) -> list[Beside]:
    """What else differs between the groups whose scores are `days`, compared as `found` tells.

    `cups` are the day of each cup, and whether it is of A.
    """
    units = _units(cups, days, found)
    read = [_read(thing, units) for thing in things]
    rows = [row for row, _ in read]
    taken = [columns for row, columns in read if row.verdict == "differs" and columns is not None]
    if len(taken) > 1 and found.higher and not _still(_without(units, np.hstack(taken))):
        # One by one each leaves the difference standing; together they do not.
        return [_as(row, "could explain") if row.verdict == "differs" else row for row in rows]
    return rows


def scored_alike(scored: tuple[int, int], brews: tuple[int, int]) -> Verdict:
    """Whether as large a share of the brews was scored in A as in B: who notes down good cups only
    where they are proud of them likes these better.

    Two shares more than 1.64 standard errors and 10 in 100 apart differ (our own rule).
    """
    if 0 in brews:
        return "not noted"
    pairs = list(zip(scored, brews, strict=True))
    # One cup more and one less each, so that "all" and "none" have an error (Agresti & Caffo 2000).
    a, b = ((min(cups, of) + 1) / (of + 2) for cups, of in pairs)
    raw = abs(min(scored[0] / brews[0], 1.0) - min(scored[1] / brews[1], 1.0))
    error = sqrt(a * (1 - a) / (brews[0] + 2) + b * (1 - b) / (brews[1] + 2))
    return "could explain" if raw > LEAST_SHARE and abs(a - b) > LESS_SCORED * error else "alike"


def _units(cups: Sequence[tuple[int, bool]], days: Days, found: Apart) -> _Units:
    keys = [(day, True) for day in days.a] + [(day, False) for day in days.b]
    place = {key: n for n, key in enumerate(keys)}
    scores = np.array([*days.a.values(), *days.b.values()])
    in_a = np.array([of_a for _, of_a in keys])
    a, b = (np.array([place[day, of_a] for day in days.both], dtype=int) for of_a in (True, False))
    pairs = found.by == "pairs"
    return _Units(
        cell=np.array([place[cup] for cup in cups]),
        in_a=in_a,
        a=a,
        b=b,
        y=scores[a] - scores[b] if pairs else scores,
        side=np.ones(len(a)) if pairs else in_a.astype(float),
        wider=1.0 if pairs or found.low is None else resemblance(days)[1],
        found=found,
    )


def _read(thing: Thing, units: _Units) -> tuple[Beside, Floats | None]:
    known = [n for n, value in enumerate(thing.values) if value is not None]
    cell = units.cell[known]
    if len(known) < LEAST_KNOWN * len(thing.values) or len(set(units.in_a[cell].tolist())) < 2:
        return Beside(thing.name, "not noted"), None
    values = [thing.values[n] for n in known]
    if all(isinstance(value, int | float) for value in values):
        return _number(thing, _means(np.array(values, dtype=float)[:, None], cell, units), units)
    _, kinds = np.unique([str(value) for value in values], return_inverse=True)
    return _kinds(thing, _means(np.eye(int(kinds.max()) + 1)[kinds], cell, units), units)


def _means(values: Floats, cell: Integers, units: _Units) -> Floats:
    """Means of the cells; those without a value get the mean of their group."""
    cells = len(units.in_a)
    sums = np.zeros((cells, values.shape[1]))
    np.add.at(sums, cell, values)
    counts = np.bincount(cell, minlength=cells)
    means: Floats = sums / np.maximum(counts, 1)[:, None]
    for group in (units.in_a, ~units.in_a):
        means[group & (counts == 0)] = means[group & (counts > 0)].mean(axis=0)
    return means


def _number(thing: Thing, cells: Floats, units: _Units) -> tuple[Beside, Floats | None]:
    of_a, of_b = cells[units.in_a, 0], cells[~units.in_a, 0]
    a, b = float(of_a.mean()), float(of_b.mean())
    columns = units.rows(cells)
    gap, spread = a - b, sqrt((float(of_a.var()) + float(of_b.var())) / 2)
    error = sqrt(
        float(of_a.var()) / max(len(of_a) - 1, 1) + float(of_b.var()) / max(len(of_b) - 1, 1)
    )
    if units.pairs:
        gap, spread = float(columns.mean()), float(columns.std())
        error = spread / sqrt(len(columns) - 1)
    if abs(gap) <= thing.same or abs(gap) <= LEAST_T * error:
        return Beside(thing.name, "alike", a, b), None
    row = Beside(thing.name, "differs", a, b)
    if not units.found.higher:
        return row, columns
    hardly = abs(gap) > HARDLY_SHARED * spread
    return _judged(row, None if hardly else _without(units, columns)), columns


def _kinds(thing: Thing, cells: Floats, units: _Units) -> tuple[Beside, Floats | None]:
    apart = cells[units.in_a].mean(axis=0) - cells[~units.in_a].mean(axis=0)
    share = float(np.abs(apart).sum() / 2)
    if share <= LEAST_SHARE:
        return Beside(thing.name, "alike", share=share), None
    row, columns = Beside(thing.name, "differs", share=share), units.rows(cells)[:, 1:]
    if not units.found.higher:
        return row, columns
    return _judged(row, _without(units, columns)), columns


def _judged(row: Beside, left: tuple[float, float] | None) -> Beside:
    if left is None:
        return _as(row, "could explain")
    verdict: Verdict = "differs" if _still(left) else "could explain"
    return Beside(row.name, verdict, row.a, row.b, row.share, *left)


def _as(row: Beside, verdict: Verdict) -> Beside:
    return Beside(row.name, verdict, row.a, row.b, row.share, row.low, row.high)


def _still(left: tuple[float, float] | None) -> bool:
    return left is not None and (left[0] > 0 or left[1] < 0)


def _without(units: _Units, columns: Floats) -> tuple[float, float] | None:
    """The range of the difference with straight lines in the `columns` taken out of scores and
    groups (Frisch & Waugh 1933); None where nothing of the groups is left."""
    rows = len(units.y)
    others = columns if units.pairs else np.hstack([np.ones((rows, 1)), columns])
    left, *_ = np.linalg.lstsq(others, units.side, rcond=1e-9)
    side = units.side - others @ left
    own = float(side @ side)
    df = rows - int(np.linalg.matrix_rank(np.column_stack([others, units.side]), tol=1e-9 * rows))
    if own < 1e-6 * float(units.side @ units.side) or df < LEAST_DF:
        return None
    whole = np.column_stack([units.side, others])
    fitted, *_ = np.linalg.lstsq(whole, units.y, rcond=1e-9)
    rest = units.y - whole @ fitted
    spread = max(sqrt(float(rest @ rest) / df), LEAST_SD)
    half = float(special.stdtrit(df, 1 - units.found.alpha / 2)) * spread * sqrt(units.wider / own)
    middle = float(side @ units.y) / own
    return middle - half, middle + half
