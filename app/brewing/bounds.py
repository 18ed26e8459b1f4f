"""What a value may be: one pair of bounds for the form, the database and the formula.

Each pair is (lowest, highest), both allowed, in the unit of its name. They fit a catering urn and a
single sip alike, and are there to refuse typing errors.
"""

from app.brewing.sentences import Amount, Sentence

DOSE_G = (0.1, 2000.0)
WATER_G = (1.0, 40000.0)
BYPASS_G = (0.0, 40000.0)
ICE_G = (0.0, 40000.0)
BEVERAGE_G = (1.0, 40000.0)
TDS_PCT = (0.01, 30.0)
BRIX = (0.02, 35.0)
WATER_TEMP_C = (0.0, 100.0)
STEEP_S = (0, 172800)
PRESS_S = (0, 3600)
PRESS_EFFORT = (1, 5)
STIRS = (0, 1000)
UM_PER_STEP = (0.01, 1000.0)

CAPACITY_G = (10.0, 40000.0)
HARDNESS_MG_L = (0.0, 5000.0)
ALKALINITY_MG_L = (0.0, 5000.0)

EXTRACTION = (0.001, 0.5)  # of the dose, when solving for the other amounts
RETENTION_G_PER_G = (0.0, 10.0)
SCALE_FACTOR = (0.01, 100.0)
CUPS = (0.1, 100.0)  # that a recipe makes
CUPS_SHARED = (1, 20)  # from one filling of a brewer

# Heat and ice
KETTLE_EFFICIENCY_PCT = (10.0, 100.0)
EFFICIENCY = (0.05, 1.0)
LIQUID_C = (0.0, 100.0)
ICE_C = (-40.0, 0.0)
MASS_G = (0.0, 1e6)  # of any drink, water or ice
DRINK_G = (0.1, 1e6)  # of a drink that is cooled
GLASS_G = (0.0, 5000.0)
VESSEL_J_PER_K = (0.0, 1e6)
ROOM_C = (0.0, 45.0)
HEAT_TRANSFER_W_PER_K = (0.01, 10.0)
STANDING_MIN = (0.0, 1440.0)

HOURS_AGO = (0.0, 8760.0)
SHARE = (0.0, 1.0)

# Bags, money and filters
NET_G = (1.0, 100000.0)
CORRECTION_G = (-100000.0, 100000.0)
ROBUSTA_PCT = (0.0, 100.0)
PRICE_MINOR = (0, 1_000_000_000)
PRICE = (0.0, 1e9)
FILTER_COUNT = (1, 10000)
FILTER_MASS_G = (0.01, 500.0)
PRIOR_USES = (0, 100000)
FILTER_USES = (1, 100_000)  # until it is thrown away
BREWS_A_MONTH = (0, 10_000)
RINSE_G = (0.0, 5000.0)
STACK_POSITION = (1, 3)

LIKING = (1, 9)
JUST_RIGHT = (1, 5)

# Of blind tests: trials planned, smallest share perceived that matters, risks of a false and of a
# missed difference, one trial in how many is A against A (0: none), a filter's use, a place chosen.
FIXED_TRIALS = (6, 200)
PACKETS = (1, 20)
P_D = (0.05, 0.95)
ALPHA = (0.001, 0.3)
BETA = (0.01, 0.5)
CONTROL_IN = (0, 10)
CONTROLS = (0, 200)
FILTER_USE = (1, 100000)
ANSWER = (0, 4)

GRINDS = ("fine", "medium-fine", "medium", "medium-coarse", "coarse")
GRINDS_OR_NONE = ("", *GRINDS)  # empty: not noted
BREWER_KINDS = ("pressed immersion", "immersion", "cone", "flat bed", "other")
FILTER_MATERIALS = ("paper", "cloth", "metal")


DIGITS = 3


def require(label: str, value: float, limits: tuple[float, float], unit: str = "") -> None:
    """Raise ValueError with a sentence unless ``value`` lies within ``limits`` (NaN never does)."""
    low, high = limits
    if not low <= value <= high:
        ends = Amount(low, unit, DIGITS, bare=True), Amount(high, unit, DIGITS)
        raise ValueError(Sentence("{} must be between {} and {}.", label, *ends))
