"""What a estimate takes for granted, in plain sentences for the person estimate it."""

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
    """How much the grounds are taken to hold, and where that comes from."""
    usual, low, high = retention
    own = retained is not None and retained.n
    learned = f", learned from weighed brews: {own}" if own else ""
    return Sentence(
        "Beverage not weighed: the grounds are taken to hold {} times the dose "
        f"({{}} to {{}}){learned}.",
        Amount(usual),
        Amount(low),
        Amount(high),
    )


def contradictions(cup: Cup, retention: float, extraction: float | None) -> list[str]:
    """Notes on numbers that do not fit together; ``extraction`` is a fraction or None."""
    found = []
    if extraction is None:
        found.append(IMPOSSIBLE)
    elif extraction > SOLUBLE:
        found.append(ABOVE_SOLUBLE)
    if cup.beverage_g is None:
        if cup.water_g <= retention * cup.dose_g:
            found.append(NOTHING_LEFT)
    elif cup.beverage_g <= cup.added_g:
        found.append(LIGHT_BEVERAGE)
    elif cup.beverage_g > cup.water_g + cup.added_g + cup.dose_g:
        found.append(HEAVY_BEVERAGE)
    return found


def assumptions(cup: Cup, formula: str) -> list[str]:
    """Notes that follow from what was entered alone."""
    if formula == "none":
        return [NO_MODEL]
    found: list[str] = []
    if cup.tds_pct is None:
        if cup.water_g < MODEL_MIN_RATIO * cup.dose_g:
            found.append(LOW_RATIO)
        if cup.water_temp_c is None:
            found.append(NO_TEMP)
        elif cup.water_temp_c < MODEL_MIN_TEMP_C:
            found.append(COOL_WATER)
        if formula == "drip":
            found.append(DRIP_USUAL)
        elif cup.steep_s is None:
            found.append(NO_STEEP)
    if cup.kind == "pressed immersion":
        found.append(PRESSED_BED)
    if cup.ice_g:
        found.append(ICE_MELTED)
    return found
