"""The runs of a small experiment, and what it can resolve: before anything is brewed.

Two or three factors at two levels with a repeated middle: Box, Hunter & Hunter, Statistics for
Experimenters (from memory). Runs come in blocks, in each of which every factor is as often low as
high, and their order is drawn by lot; an order in which a factor leans to the early or the late
runs is drawn again, so that an ageing bag and drifting scores do not fall together with a factor.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, product
from math import prod, sqrt

from app.sensory.blind.serving import Source, shuffled
from app.sensory.lazy import special

LOW, MIDDLE, HIGH = -1, 0, 1
FACTORS = (2, 3)
MOST_LEAN = 0.3  # correlation of a factor, or a product of two, with the place of the run
MOST_DRAWS = 200
FOUND_IN = 0.8  # of such experiments, where a change is called resolved
MOST_POINTS = 8.0  # from 1 to 9
# Experiments in which nothing matters and something is found: planned below the 1 in 20 that pages
# promise, as scores are whole points and no normal distribution.
FALSE = 0.04


@dataclass(frozen=True)
class Factor:
    """Something to vary, with its low and high setting in its own unit."""

    name: str
    low: float
    high: float

    def coded(self, value: float) -> float:
        """The value on the scale where low is -1 and high is 1."""
        return (2 * value - self.low - self.high) / (self.high - self.low)

    def plain(self, coded: float) -> float:
        """The setting of a coded value, the inverse of `coded`."""
        return (self.low + self.high + coded * (self.high - self.low)) / 2


@dataclass(frozen=True)
class Design:
    """How often each corner and the middle are brewed, with `factors` factors."""

    factors: int
    rounds: int
    centres: int

    def __post_init__(self) -> None:
        """Raises ValueError for a design that tells nothing."""
        if self.factors not in FACTORS:
            raise ValueError("two or three things can be varied at once")
        if self.rounds < 1 or self.centres < 1:
            raise ValueError("every corner and the middle are brewed at least once")

    @property
    def corners(self) -> int:
        return self.rounds * (4 if self.factors == 2 else 8)

    @property
    def runs(self) -> int:
        return self.corners + self.centres

    @property
    def looked_at(self) -> int:
        """Effects that are looked at: each factor, each two together, and the middle."""
        return self.factors + self.factors * (self.factors - 1) // 2 + 1

    @property
    def df(self) -> int:
        """Degrees of freedom that are left for the spread."""
        return self.runs - 1 - self.looked_at


@dataclass(frozen=True)
class Run:
    """A brew to make: its block, and the level of each factor (-1 low, 0 middle, 1 high)."""

    block: int
    levels: tuple[int, ...]


def schedule(design: Design, source: Source) -> tuple[Run, ...]:
    """The runs in the order to brew them in, drawn from `source`."""
    blocks = _blocks(design)
    best, least = None, 2.0
    for _ in range(MOST_DRAWS):
        drawn = tuple(Run(n, one) for n, block in enumerate(blocks, 1)
                      for one in shuffled(block, source))  # fmt: skip
        leans = lean([run.levels for run in drawn])
        if leans < least:
            best, least = drawn, leans
        if least <= MOST_LEAN:
            break
    if best is None:
        raise ValueError("a design without runs")
    return best


def _blocks(design: Design) -> list[list[tuple[int, ...]]]:
    """Every corner once a block; with three factors half of them, parted by the product of all
    three, which nobody looks at. The middle is spread over the blocks."""
    corners = list(product((LOW, HIGH), repeat=design.factors))
    parts = [corners]
    if design.factors == 3:
        parts = [[one for one in corners if prod(one) == sign] for sign in (LOW, HIGH)]
    blocks = [list(part) for _ in range(design.rounds) for part in parts]
    for n in range(design.centres):
        blocks[n * len(blocks) // design.centres].append((MIDDLE,) * design.factors)
    return blocks


def lean(levels: Sequence[Sequence[int]]) -> float:
    """The greatest correlation of a factor, or of a product of two, with the place of the run."""
    columns = [[float(row[n]) for row in levels] for n in range(len(levels[0]))]
    columns += [[a * b for a, b in zip(x, y, strict=True)] for x, y in combinations(columns, 2)]
    middle = (len(levels) - 1) / 2
    places = [n - middle for n in range(len(levels))]
    length = sqrt(sum(at * at for at in places))
    return max(
        abs(sum(at * one for at, one in zip(places, column, strict=True)))
        / (length * sqrt(sum(one * one for one in column)))
        for column in columns
    )


def found_beyond(df: int, looked_at: int) -> float:
    """How many standard errors an effect has to be from 0 to be found (Bonferroni)."""
    return float(special.stdtrit(df, 1 - FALSE / 2 / looked_at))


def resolves(design: Design, noise: float) -> float | None:
    """The change from low to high (points) that is found in 8 of 10 such experiments.

    `noise` is the standard deviation of one score. Found is what `effects.fit_effects` calls so:
    beyond the range that holds for all effects together. None where nothing can be found, as too
    few runs are left for the spread, or as no two scores are that far apart.
    """
    if design.df < 2:
        return None
    beyond = found_beyond(design.df, design.looked_at)
    low, high = 0.0, 100.0
    for _ in range(50):
        middle = (low + high) / 2
        missed = float(special.nctdtr(design.df, middle, beyond))
        low, high = (middle, high) if missed > 1 - FOUND_IN else (low, middle)
    points = high * 2 * noise / sqrt(design.corners)
    return points if points <= MOST_POINTS else None
