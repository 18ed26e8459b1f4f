"""What the chosen questions ask of a sitting: cups to brew, pairs to taste, trials to answer."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from app.brewing.along.timeline import Timeline
from app.brewing.ranged import Ranged

Letter = Literal["A", "B"]


@dataclass(frozen=True, slots=True)
class FilterWanted:
    """A filter of a pack. `use` counts from 1, a fresh one; None where it makes no difference."""

    pack_id: int
    use: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CupWanted:
    """How one of the two cups of a question is made, and what is in it; grams.

    `beverage_g` is what comes out, `caffeine_mg` what is in all of it. `strength_pct` and
    `extraction_pct` are estimates, None where there is none. Brewers that are alike share
    `first_brewer_id`. `rinse_g` is hot water for the filter.
    """

    bag_id: int
    first_brewer_id: int
    line: Timeline
    dose_g: float
    water_g: float
    bypass_g: float = 0.0
    ice_g: float = 0.0
    rinse_g: float = 0.0
    beverage_g: float
    caffeine_mg: Ranged
    strength_pct: float | None = None
    extraction_pct: float | None = None
    filters: tuple[FilterWanted, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialsWanted:
    """Trials of a blind test to answer today.

    A trial serves `served_a` cups of A, `served_b` of B and `served_by_lot` that its key makes an
    A or a B. They are poured from one brew of each (`brews_a` and so on are then 0, and so for the
    brews of the side by side where there is one), or brewed for each trial.
    """

    count: int
    served_a: int
    served_b: int
    served_by_lot: int = 0
    brews_a: int = 0
    brews_b: int = 0
    brews_by_lot: int = 0

    @property
    def cups(self) -> int:
        return self.served_a + self.served_b + self.served_by_lot

    @property
    def from_one_pair(self) -> bool:
        return not self.brews_a + self.brews_b + self.brews_by_lot


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What one question asks for: its two cups side by side, trials of its blind test, or both."""

    question_id: int
    a: CupWanted
    b: CupWanted
    pair: bool
    trials: TrialsWanted | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AtHand:
    """What there is in the kitchen: how many brewers by the first of those that are alike."""

    brewers: Mapping[int, int]
    kettle_g: float
