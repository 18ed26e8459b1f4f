"""What the model does not know of a brew, as SDs of the logarithm of its extraction.

A doubt is learned in places: brews at the same grind, stirred alike, after a like time, share one.
What was measured in one place says nothing of another, so that the range of a brew unlike all
measured ones is as wide as if nothing had been learned. All widths but the published ones are our
own choice, tried on truths unlike the model (tests/honesty/learned.py):

- level: the series of Liang 2021 end at 0.19 to 0.24 of the dose (see ``extraction``);
- steep: one grind coarser or finer, or any of them where it is not noted; a clock from 0.6 to 1.6
  times that of ``kinetics``, with 15 s for pouring and draining; without stirring, a coarse steep
  that needs 20 to 90 minutes to level (Liang 2021), of which the pour rinses out a fifth at once;
- cool: below 80 degC less dissolves and more slowly; no published figure was verified;
- little: a ratio under 5 extracts less than the model says;
- drip: 16 to 24 % in Frost, Ristenpart, Guinard 2020, doi 10.1111/1750-3841.15326.
"""

from functools import lru_cache
from math import exp, floor, hypot, log, log2, sqrt
from typing import NamedTuple

from app.brewing import bounds
from app.brewing.bounds import GRINDS
from app.brewing.strength.cup import Cup
from app.brewing.strength.extraction import FORMULAS, MODEL_MIN_TEMP_C
from app.brewing.strength.kinetics import fraction, fraction_range

Place = tuple[str | float | bool | None, ...]
LEVEL: Place = ("level",)
LEVEL_SD = 0.063
FEW_RATIO = 5.0
CLOCKS = (0.6, 1.6)
HANDLING_S = 15.0
LEAST_CONTACT_S = 5.0  # water touches the coffee for as long as it takes to pour
SHORTEST_UNKNOWN_STEEP_S = 60.0
_95 = 1.96
_SHAPE_SD = 0.04  # of any two places, however alike
_RINSED, _STILL_S = 0.2, 5400.0
# Share of the doubt of a coarse unstirred steep that is left at each grind; one that is not noted
# may have been coarse, and counts as medium in the value itself.
_STILL_SHARE = dict(zip((*GRINDS, ""), (0.0, 0.1, 0.2, 0.6, 1.0, 1.0), strict=True))
_COOL_LOG = 0.4  # at 60 degC, growing by as much for every 20 degrees below
_NO_TEMP_SD, _LITTLE_SD, _DRIP_SD, _UP_SD = 0.05, 0.3, 0.08, 0.03
_DRIP_NO_GRIND_SD = 0.04
_USUAL_DRIP_RATIO = (12.0, 20.0)


class Doubt(NamedTuple):
    """SDs of log extraction down and up, and the places where it is learned with their shares.

    ``alone``: a brew that has it teaches nothing else, since it is outside what the model is for.
    """

    places: tuple[tuple[Place, float], ...]
    down: float
    up: float
    alone: bool = False


_LEVEL = Doubt(((LEVEL, 1.0),), LEVEL_SD, LEVEL_SD)
_NO_TEMP = Doubt(((("no temperature",), 1.0),), _NO_TEMP_SD, _UP_SD)
_LITTLE = Doubt(((("little",), 1.0),), _LITTLE_SD, _UP_SD, alone=True)


def contact_s(cup: Cup) -> float | None:
    """The steep and half of the press (s), at least as long as a pour; None if not noted."""
    if cup.steep_s is None:
        return None
    return max(LEAST_CONTACT_S, min(cup.steep_s + (cup.press_s or 0) / 2, bounds.STEEP_S[1]))


def stillness(cup: Cup) -> float:
    """Logarithm by which a steep may fall short if it was not stirred; 0 for a stirred one."""
    seconds = contact_s(cup)
    if cup.stirs or seconds is None or FORMULAS[cup.kind] != "immersion":
        return 0.0
    return _stillness(cup.grind or "medium", seconds)


@lru_cache(maxsize=4096)
def _stillness(grind: str, seconds: float) -> float:
    still = _RINSED + (1.0 - _RINSED) * (1.0 - exp(-seconds / _STILL_S))
    return _STILL_SHARE[grind] * max(0.0, log(fraction(grind, seconds) / still))


def doubts(cup: Cup) -> tuple[Doubt, ...]:
    """All that is unknown of ``cup``, the level of its household's extraction first."""
    found = [_LEVEL]
    if FORMULAS[cup.kind] == "drip":
        found.append(_drip(cup))
    else:
        stirred = None if cup.stirs is None else cup.stirs > 0
        found.append(_steep(cup.grind, contact_s(cup), stirred))
    if cup.water_temp_c is None:
        found.append(_NO_TEMP)
    elif cup.water_temp_c < MODEL_MIN_TEMP_C:
        colder = MODEL_MIN_TEMP_C - cup.water_temp_c
        places = _between(cup.water_temp_c / 10.0, "cool")
        found.append(Doubt(places, _COOL_LOG * colder / 20.0 / _95, _UP_SD, alone=True))
    if cup.water_g < FEW_RATIO * cup.dose_g and FORMULAS[cup.kind] != "drip":
        found.append(_LITTLE)
    return tuple(found)


def pace(grind: str, seconds: float, stirred: bool | None) -> tuple[float, float]:
    """SDs, down and up, of the logarithm of the share that an immersion reaches in ``seconds``.

    ``stirred`` is None where nobody noted it.
    """
    now, shorter = fraction(grind, seconds), max(1.0, CLOCKS[0] * seconds)
    coarser, finer = fraction_range(grind, seconds)
    slower = fraction(grind, shorter)
    faster = fraction(grind, min(CLOCKS[1] * seconds + HANDLING_S, bounds.STEEP_S[1]))
    still = 0.0 if stirred else _stillness(grind, seconds)
    # Of one left alone, half of the shortfall is in the value already.
    in_value = _stillness(grind or "medium", seconds) / 2 if stirred is False else 0.0
    down = hypot(log(now / max(coarser, 0.1 * now)), log(now / slower), still - in_value)
    up = hypot(log(finer / now), log(faster / now), in_value)
    if not grind:  # were it fine, it would be finer and hardly fall short, both at once
        up = hypot(log(finer / now) + in_value, log(faster / now))
    return down / _95, up / _95


@lru_cache(maxsize=4096)
def _steep(grind: str, seconds: float | None, stirred: bool | None) -> Doubt:
    if seconds is None:
        short = -log(fraction_range(grind, SHORTEST_UNKNOWN_STEEP_S)[0]) / _95
        return Doubt(((("steep", grind, stirred, None), 1.0),), hypot(short, _SHAPE_SD), _UP_SD)
    down, up = pace(grind, seconds, stirred)
    places = _between(log2(seconds / 15.0), "steep", grind, stirred)
    return Doubt(places, hypot(down, _SHAPE_SD), hypot(up, _SHAPE_SD))


def _drip(cup: Cup) -> Doubt:
    ratio = cup.water_g / cup.dose_g
    low, high = _USUAL_DRIP_RATIO
    unusual = abs(log(ratio / min(max(ratio, low), high))) / 4
    places = _between(3.0 * log2(max(1.0, ratio)), "drip", cup.grind)
    sd = hypot(_DRIP_SD, unusual, 0.0 if cup.grind else _DRIP_NO_GRIND_SD)
    return Doubt(places, sd, sd)


def _between(where: float, *of: str | bool | None) -> tuple[tuple[Place, float], ...]:
    """The places around ``where`` on a line, with shares whose squares add up to 1.

    The nearer of the two whole places has the larger share, so that what was learned in both is
    read between them on a straight line; the rest belongs to the stretch between.
    """
    before = floor(where)
    past = where - before
    rest = sqrt(2.0 * past * (1.0 - past))
    shares = ((before, 1.0 - past), (before + 0.5, rest), (before + 1, past))
    return tuple(((*of, place), share) for place, share in shares if share)
