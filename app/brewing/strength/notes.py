"""What an estimate assumes, in plain sentences for the person who reads it."""

from functools import lru_cache

from app.brewing.ranged import Ranged
from app.brewing.sentences import Amount, Sentence
from app.brewing.strength.calibration import Retained
from app.brewing.strength.cup import Cup
from app.brewing.strength.extraction import MODEL_MIN_RATIO, MODEL_MIN_TEMP_C

_MIN_TEMP = Amount(MODEL_MIN_TEMP_C, "°C", 0)

NO_MODEL = "There is no model for this kind of brewer, so nothing is estimated."
LOW_RATIO = Sentence(
    "Less water than {} times the dose: outside the range of the model.", Amount(MODEL_MIN_RATIO)
)
COOL_WATER = Sentence(
    "Water below about {} extracts less: the estimate is out of its range.", _MIN_TEMP
)
NO_TEMP = Sentence("Water temperature not known: taken as {} or hotter.", _MIN_TEMP)
NO_STEEP = "Steep time not known: taken as steeped to the end, with a wider range."
PRESSED_BED = "A pressed bed gives up a little more as it drains; that is left out."
ICE_MELTED = "All of the ice is taken to have melted."
DRIP_USUAL = (
    "Nobody can tell drip extraction from a recipe: 20 % is assumed, 16 to 24 % being the span of "
    "drip brews in a published study (Frost and others 2020)."
)
NOTHING_LEFT = "The grounds would hold all of this water, so there is no cup to estimate."
LIGHT_BEVERAGE = "The beverage weighs no more than the water and ice added to it: check them."
HEAVY_BEVERAGE = "The beverage weighs more than everything poured: check the numbers."
IMPOSSIBLE = "This strength cannot come from this dose and water: check the numbers."
ABOVE_SOLUBLE = "More than about 30 % extracted is more than coffee gives: check the numbers."
SOLUBLE = 0.30  # from memory


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
    texts: list[str] = []
    if cup.tds_pct is None:
        if cup.water_g < MODEL_MIN_RATIO * cup.dose_g:
            texts.append(LOW_RATIO)
        if cup.water_temp_c is None:
            texts.append(NO_TEMP)
        elif cup.water_temp_c < MODEL_MIN_TEMP_C:
            texts.append(COOL_WATER)
        if formula == "drip":
            texts.append(DRIP_USUAL)
        elif cup.steep_s is None:
            texts.append(NO_STEEP)
    if cup.kind == "pressed immersion":
        texts.append(PRESSED_BED)
    if cup.ice_g:
        texts.append(ICE_MELTED)
    return texts
