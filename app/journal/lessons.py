"""What measured and weighed brews teach of each brewer and grinder: worked out when it is asked
for, as a page shows brews of few of them."""

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import NamedTuple, TypeVar

from app.brewing.strength.calibration import Calibration, Taught, learn, taught
from app.brewing.strength.cup import Cup
from app.brewing.strength.estimate import measured_over_estimated
from app.brewing.strength.extraction import FORMULAS
from app.brewing.strength.left_out import FAR_FROM_OTHERS, why_not_its_strength, why_not_its_weight
from app.brewing.strength.retention import Retained, learn_retained, retention_from_weighed

# Brews that a calibration or a retention is learned from, the newest of them.
MOST_LEARNED_FROM = 40

BrewerAndGrinder = tuple[int, int | None]
Key = TypeVar("Key", bound=Hashable)


class MeasuredRow(NamedTuple):
    """What an estimate needs: the fields of `Cup` in order, and what to look up for it.

    What is learned of a brewer is learned of all that are alike, and kept by the first of them.
    """

    kind: str
    dose_g: float
    water_g: float
    bypass_g: float
    ice_g: float
    water_temp_c: float | None
    steep_s: int | None
    press_s: int | None
    grind: str
    beverage_g: float | None
    tds_pct: float | None
    stirs: int | None
    brix: float | None
    first_brewer_id: int
    grinder_id: int | None


def cup_of(row: MeasuredRow) -> Cup:
    return Cup(*row[:13])


def brewer(row: MeasuredRow) -> int:
    return row.first_brewer_id


def brewer_and_grinder(row: MeasuredRow) -> BrewerAndGrinder:
    return row.first_brewer_id, row.grinder_id


def grouped(
    rows: Iterable[MeasuredRow], key: Callable[[MeasuredRow], Key]
) -> dict[Key, list[MeasuredRow]]:
    groups: dict[Key, list[MeasuredRow]] = {}
    for row in rows:
        groups.setdefault(key(row), []).append(row)
    return groups


@dataclass(frozen=True, eq=False)
class Lessons:
    """The measured brews of one brewer and grinder, the newest first."""

    rows: Sequence[MeasuredRow]
    retention: Retained | None

    @cached_property
    def learned(self) -> tuple[Calibration, dict[MeasuredRow, str]]:
        """What they teach, and why some of them teach nothing."""
        left_out: dict[MeasuredRow, str] = {}
        used: list[tuple[MeasuredRow, Taught]] = []
        for row in self.rows:
            lesson = _lesson(row, self.retention)
            if isinstance(lesson, str):
                left_out[row] = lesson
            elif len(used) < MOST_LEARNED_FROM:
                used.append((row, lesson))
        found = learn([lesson for _, lesson in used])
        for (row, _), count in zip(used, found.counts, strict=True):
            if not count:
                left_out[row] = FAR_FROM_OTHERS
        return found, left_out


class Calibrations(Mapping[BrewerAndGrinder, Calibration]):
    """Each is learned when it is looked up."""

    def __init__(self, lessons: Mapping[BrewerAndGrinder, Lessons]) -> None:
        self._lessons = lessons

    def __getitem__(self, pair: BrewerAndGrinder) -> Calibration:
        return self._lessons[pair].learned[0]

    def __iter__(self) -> Iterator[BrewerAndGrinder]:
        return iter(self._lessons)

    def __len__(self) -> int:
        return len(self._lessons)


class LeftOut(Mapping[MeasuredRow, str]):
    """Why a brew teaches nothing, its strength or else its weight; known when it is looked up."""

    def __init__(
        self, lessons: Mapping[BrewerAndGrinder, Lessons], weighed: Mapping[MeasuredRow, str]
    ) -> None:
        self._lessons, self._weighed = lessons, weighed

    def __getitem__(self, row: MeasuredRow) -> str:
        of_its_own = self._lessons.get(brewer_and_grinder(row))
        reason = of_its_own.learned[1].get(row) if of_its_own else None
        return reason or self._weighed[row]

    def __iter__(self) -> Iterator[MeasuredRow]:
        measured = {row for one in self._lessons.values() for row in one.learned[1]}
        return iter(measured | set(self._weighed))

    def __len__(self) -> int:
        return sum(1 for _ in self)


@dataclass(frozen=True)
class Learned:
    """Calibration by brewer and grinder, retention by brewer, and why some brews teach nothing.

    A brewer stands here for all that are alike, under the number of the first.
    """

    calibrations: Mapping[BrewerAndGrinder, Calibration]
    retained: Mapping[int, Retained]
    left_out: Mapping[MeasuredRow, str]


def learn_from(measured: Iterable[MeasuredRow], weighed: Iterable[MeasuredRow]) -> Learned:
    """Learn from brews with a measured strength, and from weighed ones, newest first."""
    not_weighed: dict[MeasuredRow, str] = {}
    retained = {
        first_brewer_id: retention
        for first_brewer_id, rows in grouped(weighed, brewer).items()
        if (retention := _retention(rows, not_weighed)) is not None
    }
    lessons = {
        pair: Lessons(rows, retained.get(pair[0]))
        for pair, rows in grouped(measured, brewer_and_grinder).items()
    }
    return Learned(Calibrations(lessons), retained, LeftOut(lessons, not_weighed))


def _retention(rows: Sequence[MeasuredRow], left_out: dict[MeasuredRow, str]) -> Retained | None:
    """From brews weighed with nothing added after brewing."""
    if FORMULAS[rows[0].kind] == "none":
        return None
    held = []
    for row in rows:
        if reason := why_not_its_weight(cup_of(row)):
            left_out[row] = reason
        elif row.beverage_g is not None:
            held.append(retention_from_weighed(row.dose_g, row.water_g, row.beverage_g))
    return learn_retained(held[:MOST_LEARNED_FROM], rows[0].kind) if held else None


# Cached, since leaving out each brew in turn learns from the same ones again and again.
@lru_cache(maxsize=8192)
def _lesson(row: MeasuredRow, retention: Retained | None) -> Taught | str:
    """What the brew teaches, or why it teaches nothing."""
    cup = cup_of(row)
    reason = why_not_its_strength(cup, retention)
    ratio = None if reason else measured_over_estimated(cup, retention)
    return reason if ratio is None else taught(cup, ratio)
