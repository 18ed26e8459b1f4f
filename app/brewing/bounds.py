"""What a value may be: one pair of bounds for the form, the database and the formula.

Each bound is (lowest, highest), both allowed, in the unit its name carries.
They are wide enough for a catering urn and a single sip, and only refuse slips.
"""

from app.brewing.said import Amount, Said

DOSE_G = (0.1, 2000.0)
WATER_G = (1.0, 40000.0)
BYPASS_G = (0.0, 40000.0)
ICE_G = (0.0, 40000.0)
BEVERAGE_G = (1.0, 40000.0)
TDS_PCT = (0.01, 30.0)
WATER_TEMP_C = (0.0, 100.0)
STEEP_S = (0, 172800)
PRESS_S = (0, 3600)
PRESS_EFFORT = (1, 5)
STIRS = (0, 1000)
UM_PER_STEP = (0.01, 1000.0)

CAPACITY_G = (10.0, 40000.0)
HARDNESS_MG_L = (0.0, 5000.0)
ALKALINITY_MG_L = (0.0, 5000.0)

KETTLE_EFFICIENCY_PCT = (10.0, 100.0)

NET_G = (1.0, 100000.0)
CORRECTION_G = (-100000.0, 100000.0)
ROBUSTA_PCT = (0.0, 100.0)
PRICE_MINOR = (0, 1_000_000_000)

FILTER_COUNT = (1, 10000)
FILTER_MASS_G = (0.01, 500.0)
PRIOR_USES = (0, 100000)
STACK_POSITION = (1, 3)

LIKING = (1, 9)
JUST_RIGHT = (1, 5)

# Of blind tests: trials planned, smallest share perceived that matters, risks of a false and of a
# missed difference, one trial in how many is A against A (0: none), a filter's use, a place chosen.
FIXED_TRIALS = (6, 200)
P_D = (0.05, 0.95)
ALPHA = (0.001, 0.3)
BETA = (0.01, 0.5)
CONTROL_IN = (0, 10)
FILTER_USE = (1, 100000)
ANSWER = (0, 4)

GRINDS = ("fine", "medium-fine", "medium", "medium-coarse", "coarse")
BREWER_KINDS = ("pressed immersion", "immersion", "cone", "flat bed", "other")
FILTER_MATERIALS = ("paper", "cloth", "metal")


DIGITS = 3


def require(label: str, value: float, limits: tuple[float, float], unit: str = "") -> None:
    """Raise ValueError with a sentence unless ``value`` lies within ``limits`` (NaN never does)."""
    low, high = limits
    if not low <= value <= high:
        ends = Amount(low, unit, DIGITS, bare=True), Amount(high, unit, DIGITS)
        raise ValueError(Said("{} must be between {} and {}.", label, *ends))
