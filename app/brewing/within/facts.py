"""What the limits of an answer are written from: facts of brews and trials, no names.

Each brew, side by side and test is named by its number, so that a phrase can be traced to it. None
and an empty text mean that it was not noted.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class FilterFacts:
    """One filter of a brew; `use` 1 is its first, None for metal, which does not wear."""

    material: str
    pack_id: int
    use: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BrewFacts:
    """One brew, amounts in the unit of their name; `rest_days` leave days in the freezer out.

    `first_brewer_id` is the same for brewers that are alike.
    """

    id: int
    bag_id: int
    bean_id: int
    process: str = ""
    origin: str = ""
    decaf: bool = False
    rest_days: int | None = None
    frozen_days: int = 0
    brewer_id: int
    first_brewer_id: int
    kind: str
    filters: tuple[FilterFacts, ...] = ()
    grinder_id: int | None = None
    grind: str = ""
    grind_setting: str = ""
    water_id: int | None = None
    hardness_mg_l: float | None = None
    dose_g: float
    water_g: float
    bypass_g: float = 0.0
    ice_g: float = 0.0
    water_temp_c: float | None = None
    steep_s: int | None = None
    press_s: int | None = None
    press_effort: int | None = None
    flipped: bool = False
    stirs: int | None = None
    revision_id: int | None = None

    @property
    def cup_g(self) -> float:
        """All the water that was used, ice with it."""
        return self.water_g + self.bypass_g + self.ice_g


@dataclass(frozen=True, slots=True, kw_only=True)
class BlindFacts:
    """A blind test with its answered trials that count, and the brews these were poured from.

    Of `noted` trials it is known what was brewed for them. `hidden` ones show nothing before they
    end; `gone` ones were taken away or put in the bin, and still count.
    """

    id: int
    trials: int
    noted: int = 0
    brew_ids: frozenset[int] = frozenset()
    taster_ids: frozenset[int] = frozenset()
    hidden: bool = False
    gone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PairFacts:
    """A side by side with a preference; `taster_ids` are those who scored one of its cups, since
    whose the preference is, is not noted."""

    id: int
    brew_ids: frozenset[int]
    taster_ids: frozenset[int] = frozenset()
    gone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ScoreFacts:
    """A liking noted for a brew that was put under the question."""

    brew_id: int
    taster_id: int
    blind: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """All that one answer rests on. `brews` are those of its tests, side by sides and scores;
    `asked` the things that the question is about, as a setup calls them; `around` the latest brews
    of the journal, which say what the household does besides."""

    brews: tuple[BrewFacts, ...] = ()
    tests: tuple[BlindFacts, ...] = ()
    pairs: tuple[PairFacts, ...] = ()
    scores: tuple[ScoreFacts, ...] = ()
    asked: tuple[str, ...] = ()
    around: tuple[BrewFacts, ...] = ()

    @property
    def blind_ids(self) -> frozenset[int]:
        """Brews that somebody tasted without knowing which one it was."""
        tested = {brew_id for test in self.tests for brew_id in test.brew_ids}
        return self.scored_blind.union(tested)

    @property
    def scored_blind(self) -> frozenset[int]:
        """A brew that anybody scored sighted was not scored blind."""
        sighted = {one.brew_id for one in self.scores if not one.blind}
        return frozenset(one.brew_id for one in self.scores) - sighted

    @property
    def taster_ids(self) -> frozenset[int]:
        """Who answered trials and who scored."""
        tests, pairs = (of.taster_ids for of in self.tests), (of.taster_ids for of in self.pairs)
        scored = frozenset(score.taster_id for score in self.scores)
        return scored.union(*tests, *pairs)
