"""Limits in steps that have names: grind, hardness of the water, stirs, uses of a filter, ice."""

from app.brewing.bounds import GRINDS
from app.brewing.sentences import Sentence
from app.brewing.within.amounts import RANGE
from app.brewing.within.dimension import Numbers
from app.brewing.within.facts import BrewFacts
from app.brewing.within.phrases import beyond, span
from app.brewing.within.words import count, ordinals

# mg/L as CaCO3; WHO, Hardness in drinking-water, 2011 (from memory).
HARDNESS = ((60.0, "soft"), (120.0, "moderately hard"), (180.0, "hard"), (5000.0, "very hard"))


def grind(brew: BrewFacts) -> float | None:
    return GRINDS.index(brew.grind) if brew.grind in GRINDS else None


def hardness(brew: BrewFacts) -> float | None:
    """The class of its water, counted from soft."""
    value = brew.hardness_mg_l
    if value is None:
        return None
    return next((n for n, (end, _) in enumerate(HARDNESS) if value <= end), len(HARDNESS) - 1)


def _grinds(*places: float) -> list[str]:
    return [GRINDS[round(place)] for place in places]


def _classes(*places: float) -> list[str]:
    return [HARDNESS[round(place)][1] for place in places]


def use(brew: BrewFacts) -> float | None:
    """The highest use of its paper or cloth filters."""
    return max((one.use for one in brew.filters if one.use is not None), default=None)


def _uses(low: float, high: float, apart: bool) -> Sentence:
    first, last = ordinals(round(low), round(high))
    if low == high:
        return (
            Sentence("with a fresh filter")
            if high == 1
            else Sentence("with a filter in its {} use", last)
        )
    return Sentence(f"with a filter in its {{}} {'or' if apart else 'to'} {{}} use", first, last)


def _stirs(low: float, high: float, apart: bool) -> Sentence:
    first, last = count(round(low)), count(round(high))
    if high == 0:
        return Sentence("without a stir")
    if high == 1:
        return Sentence("with one stir or none" if low == 0 else "with one stir")
    if low == high:
        return Sentence("with {} stirs", last)
    if low == 0:
        return Sentence("with {} stirs or none" if apart else "with up to {} stirs", last)
    return Sentence(f"with {{}} {'and' if apart else 'to'} {{}} stirs", first, last)


def _ice(low: float, high: float, apart: bool) -> Sentence | None:
    if high == 0:
        return None
    return Sentence("over ice" if low > 0 else "with ice and without")


def _no_ice(low: float, high: float, with_figures: bool) -> Sentence | None:
    if low > 0:
        return Sentence("cups without ice")
    return Sentence("cups over ice") if high == 0 else None


def _at_once(low: float, high: float, apart: bool) -> Sentence | None:
    first, last = count(round(low)), count(round(high))
    if high == 1:
        return None
    some = last if low == high else f"{first} or {last}" if apart else f"{first} to {last}"
    return Sentence("with {} filters at a time", some)


GRIND = Numbers(
    name="grind",
    asked="grind",
    rule="The words noted, from the finest to the coarsest.",
    read=grind,
    say=span("with {} grinds", _grinds, one="with a {} grind"),
    sides=beyond("a {} grind", "finer", "coarser", least=0, greatest=len(GRINDS) - 1),
)
WATER = Numbers(
    name="hardness of the water",
    asked="kettle water",
    rule="Up to 60, 120 and 180 mg/L as CaCO3 water is soft, moderately hard and hard, above "
    "very hard (WHO 2011, from memory).",
    read=hardness,
    say=span("with {} water", _classes),
    sides=beyond("{} water", "softer", "harder", least=0, greatest=len(HARDNESS) - 1),
)
USE = Numbers(
    name="use of the filter",
    asked="use of the filter",
    rule="How often the paper or cloth had been used by then; of several the oldest counts.",
    has=lambda brew: use(brew) is not None,
    read=use,
    say=_uses,
    sides=beyond("filters used {} often", "less", "more", least=1),
)
AT_ONCE = Numbers(
    name="filters at a time",
    asked="filter",
    rule="How many filters lay in the brewer; one alone is not said.",
    has=lambda brew: bool(brew.filters),
    read=lambda brew: len(brew.filters),
    say=_at_once,
    sides=beyond("{} at a time", "fewer filters", "more filters", least=1),
)
STIRS = Numbers(
    name="stirs",
    asked="stirs",
    rule=RANGE,
    read=lambda brew: brew.stirs,
    say=_stirs,
    sides=beyond("{} stirring", "less", "more", least=0),
)
ICE = Numbers(
    name="ice",
    asked="ice",
    rule="Ice in the cup or none; none in any cup is not said.",
    read=lambda brew: brew.ice_g,
    say=_ice,
    sides=_no_ice,
)
