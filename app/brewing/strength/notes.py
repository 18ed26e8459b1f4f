"""What an estimate assumes, in plain sentences for the person who reads it."""

from functools import lru_cache

from app.brewing.ranged import Ranged
from app.brewing.sentences import Amount, Sentence
from app.brewing.strength.cup import Cup
from app.brewing.strength.doubt import FEW_RATIO, stillness
from app.brewing.strength.expected import LEAST_TEMP_C
from app.brewing.strength.extraction import MODEL_MIN_RATIO, MODEL_MIN_TEMP_C, SOLUBLE, TDS_PER_BRIX
from app.brewing.strength.retention import Retained

_MIN_TEMP = Amount(MODEL_MIN_TEMP_C, "°C", 0)
_LEAST_TEMP = Amount(LEAST_TEMP_C, "°C", 0)

NO_MODEL = "There is no model for this kind of brewer, so nothing is estimated."
TOO_COOL = Sentence(
    "The estimate does not reach this far: nothing is known of water below {}. Measure three brews "
    "like this one, and the next can be estimated from them.",
    _LEAST_TEMP,
)
NOTHING_NOTED = (
    "Neither steep nor water temperature is noted, so the estimate does not reach this far: note "
    "one of them."
)
LOW_RATIO = Sentence(
    "Less water than {} times the dose: outside the range of the model.", Amount(MODEL_MIN_RATIO)
)
LITTLE_WATER = Sentence(
    "Less water than {} times the dose takes out less than the model says, so the range reaches "
    "further down.",
    Amount(FEW_RATIO),
)
COOL_WATER = Sentence(
    "Water below about {} takes out less, and nobody has published how much: the range reaches "
    "further down.",
    _MIN_TEMP,
)
NO_TEMP = Sentence("Water temperature not known: taken as {} or hotter.", _MIN_TEMP)
NO_GRIND = "Grind not noted: taken as medium, with a range from coarse to fine."
NO_STEEP = "Steep time not known: taken as steeped to the end, with a wider range."
UNSTIRRED = (
    "Not stirred: coarse grounds left alone may need 20 to 90 minutes to give up all they will "
    "(Liang and others 2021), so nobody can tell how far this steep got."
)
NO_STIRS = (
    "Whether it was stirred is not noted: taken as stirred, with a range down to grounds left "
    "alone."
)
PRESSED_BED = "A pressed bed gives up a little more as it drains; that is left out."
ICE_MELTED = "All of the ice is taken to have melted."
DRIP_USUAL = (
    "Nobody can tell drip extraction from a recipe: 16 to 24 % is the span of drip brews in a "
    "published study (Frost and others 2020). More for more water and a finer grind is our own "
    "rule."
)
FROM_BRIX = Sentence(
    "Strength worked out as {} times °Brix, a convention that is off by 3 to 5 %.",
    Amount(TDS_PER_BRIX, digits=2),
)
NOTHING_LEFT = "The grounds would hold all of this water, so there is no cup to estimate."
HARDLY_LEFT = (
    "So little would drain that it would be stronger than coffee can be: check the numbers."
)
LIGHT_BEVERAGE = "The beverage weighs no more than the water and ice added to it: check them."
HEAVY_BEVERAGE = "The beverage weighs more than everything poured: check the numbers."
IMPOSSIBLE = "This strength cannot come from this dose and water: check the numbers."
ABOVE_SOLUBLE = "More than about 30 % extracted is more than coffee gives: check the numbers."
_NOTICED = 0.05  # log of the shortfall from which on stirring is worth a word


@lru_cache
def retention_note(retention: Ranged, retained: Retained | None) -> str:
    """How much the grounds are assumed to hold (g per g of dose), and where that comes from."""
    own = retained is not None and retained.n
    learned = f", learned from weighed brews: {own}" if own else ""
    return Sentence(
        "Beverage not weighed: the grounds are taken to hold {} times the dose "
        f"({{}} to {{}}){learned}.",
        *map(Amount, retention),
    )


def contradictions(cup: Cup, retention: float, extraction: float | None) -> list[str]:
    """Notes on numbers that clash; retention in g per g, extraction a fraction or impossible."""
    texts = []
    if extraction is None:
        texts.append(IMPOSSIBLE)
    elif extraction > SOLUBLE:
        texts.append(ABOVE_SOLUBLE)
    if cup.beverage_g is None:
        if cup.water_g <= retention * cup.dose_g:
            texts.append(NOTHING_LEFT)
    elif cup.beverage_g <= cup.added_g:
        texts.append(LIGHT_BEVERAGE)
    elif cup.beverage_g > cup.water_g + cup.added_g + cup.dose_g:
        texts.append(HEAVY_BEVERAGE)
    return texts


def assumptions(cup: Cup, formula: str) -> list[str]:
    """Notes on what was entered and what was left out. ``formula``: see ``extraction.FORMULAS``."""
    if formula == "none":
        return [NO_MODEL]
    texts: list[str] = [] if cup.tds_pct is not None else _of_estimate(cup, formula)
    if cup.kind == "pressed immersion":
        texts.append(PRESSED_BED)
    if cup.ice_g:
        texts.append(ICE_MELTED)
    if cup.brix is not None:
        texts.append(FROM_BRIX)
    return texts


def _of_estimate(cup: Cup, formula: str) -> list[str]:
    texts: list[str] = []
    if cup.water_g < MODEL_MIN_RATIO * cup.dose_g:
        texts.append(LOW_RATIO)
    elif cup.water_g < FEW_RATIO * cup.dose_g and formula == "immersion":
        texts.append(LITTLE_WATER)
    if cup.water_temp_c is None:
        texts.append(NO_TEMP)
    elif cup.water_temp_c < MODEL_MIN_TEMP_C:
        texts.append(COOL_WATER)
    if not cup.grind:
        texts.append(NO_GRIND)
    if formula == "drip":
        texts.append(DRIP_USUAL)
    elif cup.steep_s is None:
        texts.append(NO_STEEP)
    elif stillness(cup) > _NOTICED:
        texts.append(NO_STIRS if cup.stirs is None else UNSTIRRED)
    return texts
