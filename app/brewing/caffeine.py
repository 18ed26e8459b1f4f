"""Caffeine in a cup and in the body, always as a range. Not medical advice.

Content of roasted beans (arabica 1.0 to 1.3 %, robusta 1.8 to 2.5 %, decaffeinated 0.02 to 0.1 %)
and the share that dissolves in a full steep (90 to 100 %) are from memory. A short steep lowers all
but the high end: caffeine dissolves sooner than the rest but not at once, so the middle lies half
way between none of the shortfall of the rest and all of it, which is the low end (our own choice).
"""

from collections.abc import Sequence
from math import exp, log

from app.brewing.bounds import DOSE_G, HOURS_AGO, ROBUSTA_PCT, SHARE, require
from app.brewing.ranged import Ranged
from app.brewing.sentences import Amount, Sentence

ARABICA_PCT = Ranged(1.15, 1.0, 1.3)
ROBUSTA_BEAN_PCT = Ranged(2.15, 1.8, 2.5)
DECAF_PCT = Ranged(0.05, 0.02, 0.1)
DISSOLVED = Ranged(0.95, 0.90, 1.0)
ALL = Ranged(1.0, 1.0, 1.0)

# EFSA Panel on Dietetic Products, Nutrition and Allergies 2015, EFSA Journal 13(5):4102.
SINGLE_LIMIT_MG = 200.0
DAY_LIMIT_MG = 400.0
PREGNANCY_DAY_LIMIT_MG = 200.0

HALF_LIFE_H = Ranged(5.0, 1.5, 9.5)  # adults; longer in pregnancy and with some medicines
# In pregnancy, longer from month to month: 8.3 h in the middle, 3 to 16; 10.5 h in the last four
# weeks, up to 15 h and more. Institute of Medicine 2001, Caffeine for the Sustainment of Mental
# Task Performance, and later reviews; secondary and not of one mind, so the range is wide.
EXPECTING_HALF_LIFE_H = Ranged(8.3, 3.0, 16.0)
LAST_WEEKS_HALF_LIFE_H = Ranged(10.5, 5.0, 18.0)
NOT_ADVICE = "An estimate from published averages, not medical advice: ask a doctor if it matters."


def caffeine_mg(
    dose_g: float,
    share_in_cup: Ranged = ALL,
    robusta_pct: float = 0.0,
    decaf: bool = False,
    reached: Ranged = ALL,
) -> Ranged:
    """Caffeine (mg) in a finished cup: 1000 D c f times the share of the liquid that is in it.

    ``share_in_cup`` is the share that does not stay in the grounds, ``reached`` the share of the
    final strength that the steep has reached. Raises ValueError for a dose or share of
    robusta outside ``bounds``, or shares outside 0 to 1.

    >>> round(caffeine_mg(13.0).value)
    142
    """
    require("Dose", dose_g, DOSE_G, "g")
    require("Share of robusta", robusta_pct, ROBUSTA_PCT, "%")
    for share in (*share_in_cup, *reached):
        require("Share in the cup", share, SHARE)
    part = robusta_pct / 100.0
    content = [
        DECAF_PCT[place] if decaf else part * robusta + (1.0 - part) * ARABICA_PCT[place]
        for place, robusta in enumerate(ROBUSTA_BEAN_PCT)
    ]
    best, low, high = (
        10.0 * dose_g * content[place] * DISSOLVED[place] * share_in_cup[place]
        for place in range(3)
    )
    return Ranged(best * (1.0 + reached.value) / 2.0, low * reached.low, high)


def left_mg(drunk: Sequence[tuple[float, Ranged]], half_life_h: Ranged = HALF_LIFE_H) -> Ranged:
    """Caffeine (mg) still in the body from cups ``drunk``, each (hours ago, mg).

    Each is assumed to be absorbed at once and halved in every half-life, 5 h (1.5 to 9.5). Raises
    ValueError for hours below zero or more than a year.

    >>> left_mg([(5.0, Ranged(90.0, 80.0, 110.0))]).value
    45.0
    """
    for hours, _ in drunk:
        require("Hours since the cup", hours, HOURS_AGO, "h")
    ends = enumerate(log(2.0) / half_life for half_life in half_life_h)
    return Ranged(*[sum(mg[n] * exp(-rate * hours) for hours, mg in drunk) for n, rate in ends])


def together(cups: Sequence[Ranged]) -> Ranged:
    """Caffeine (mg) of several cups; low and high ends add up, which gives the widest range."""
    return Ranged(*[sum(cup[place] for cup in cups) for place in range(3)])


def cautions(cups: Sequence[Ranged], pregnant_or_nursing: bool = False) -> tuple[str, ...]:
    """Sentences on a day of ``cups`` (mg each) whose high ends pass the limits of EFSA 2015.

    The last sentence always says that this is no medical advice.
    """
    day_limit = PREGNANCY_DAY_LIMIT_MG if pregnant_or_nursing else DAY_LIMIT_MG
    who = "while pregnant or nursing" if pregnant_or_nursing else "for most healthy adults"
    sentences: list[str] = []
    day = together(cups)
    if day.high > day_limit:
        verb = "is above" if day.low > day_limit else "may be above"
        limit = Amount(day_limit, "mg")
        sentences.append(Sentence(f"This day {verb} the {{}} of EFSA 2015 {who}.", limit))
    largest = max((cup.high for cup in cups), default=0.0)
    if largest > SINGLE_LIMIT_MG:
        limit = Amount(SINGLE_LIMIT_MG, "mg")
        warning = "One cup may hold more than the {} at a time of EFSA 2015."
        sentences.append(Sentence(warning, limit))
    return (*sentences, NOT_ADVICE)
