"""The plan of a sitting: its lines one after another, what they take, and what may be too much."""

from dataclasses import dataclass
from typing import Literal

from app.brewing.ranged import Ranged
from app.brewing.sentences import Sentence
from app.brewing.sitting.wanted import CupWanted, FilterWanted, Letter

# brew: what is not set up yet, then one brew or two along. cool: pour out, wait until it can be
# tasted, wash up and set up the next meanwhile. rest: rinse the mouth, wait; at the end wash up.
LineKind = Literal["brew", "cool", "taste", "trial", "rest"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Brew:
    """One brew. `letter` is None where the key of its trial makes it an A or a B: the plan does not
    know which, and `cups` holds both."""

    letter: Letter | None
    cups: tuple[CupWanted, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One thing to do, `lasts_s` after the line before it has ended.

    `brews` are one or two that are made at one time; `of` is the place in the plan (from 0) of the
    first brew line whose cups are tasted. `trial` counts the trials of a question today from 1.
    """

    kind: LineKind
    question_id: int
    lasts_s: int
    brews: tuple[Brew, ...] = ()
    of: int | None = None
    trial: int | None = None
    cups: int = 0
    says: str = ""


@dataclass(frozen=True, slots=True)
class BagAmount:
    """Grams of a bag: at least and at most, which part only where a lot decides."""

    bag_id: int
    least_g: float
    most_g: float


@dataclass(frozen=True, slots=True)
class FilterAmount:
    """How many filters of a pack at one use number, at most: in all, and `at_a_time` in the
    brewers, which is enough of those that go from brew to brew."""

    wanted: FilterWanted
    count: int
    at_a_time: int


@dataclass(frozen=True, slots=True, kw_only=True)
class AmountsNeeded:
    """What all brews together take; grams, at most where a lot decides.

    `kettle_g` is brew, bypass and rinse water, `kettle_fulls` how often the kettle is filled for
    it; `mouth_g` is water to rinse the mouth with. `cups` and `brewers` are at a time.
    """

    brews: int
    bags: tuple[BagAmount, ...]
    kettle_g: float
    kettle_fulls: int
    mouth_g: float
    ice_g: float
    filters: tuple[FilterAmount, ...]
    brewers: int
    cups: int
    codes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Caffeine:
    """Milligrams if all that is served is swallowed, and if all that is brewed is drunk."""

    tasted_mg: Ranged
    brewed_mg: Ranged
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SittingPlan:
    """A sitting. `days` is over how many days its trials would be spread for one palate; `notes`
    say what could not be done better, and what to mind."""

    lines: tuple[Line, ...]
    amounts: AmountsNeeded
    caffeine: Caffeine
    pairs: int
    trials: int
    days: int
    notes: tuple[Sentence, ...]

    @property
    def lasts_s(self) -> int:
        return sum(line.lasts_s for line in self.lines)
