"""What may be said of the strength and extraction of two cups set side by side, and what not."""

from collections.abc import Callable

from app.brewing.ranged import Ranged
from app.brewing.sentences import Amount, Sentence
from app.brewing.strength.estimate import Estimate
from app.brewing.strength.extraction import EQUILIBRIUM_EXTRACTION, NOTICEABLE_TDS_PCT

# Liang, Chan, Ristenpart 2021, doi 10.1038/s41598-021-85787-1, for immersion.
SUMS = {
    ("immersion", True): "immersion, from the measured strength t: ratio × t ÷ (1 − t)",
    ("immersion", False): Sentence(
        "immersion, estimated: {} of the dose at the end of a long steep, times the share reached "
        "at this grind and time",
        Amount(100 * EQUILIBRIUM_EXTRACTION, "%"),
    ),
    ("drip", True): "drip, from the measured strength t: t × beverage ÷ dose",
    ("drip", False): "drip, taken as 20 % of the dose",
}
Fixed = Callable[[float, int], str]  # how a number with so many digits is written

NO_SUM = "none for this kind of brewer"


def sum_of(estimate: Estimate) -> str:
    """Which formula gave the extraction of a cup."""
    return SUMS.get((estimate.formula, estimate.measured), NO_SUM)


def on_strength(a: Estimate, b: Estimate, fixed: Fixed) -> list[str]:
    """Whether tasters would notice, and whether the ranges can tell the two apart.

    Noticeable: 0.24 points of TDS (Frost et al. 2019).
    """
    ours, theirs = a.strength_pct, b.strength_pct
    if ours is None or theirs is None:
        return ["The strength of one of the two is not known, so they are not compared."]
    apart = abs(theirs.value - ours.value)
    stronger = "B" if theirs.value > ours.value else "A"
    if apart < 0.005:
        return ["By these numbers the two are equally strong."]
    said = [f"{stronger} is stronger by {fixed(apart, 2)} points of TDS."]
    if apart < NOTICEABLE_TDS_PCT:
        said.append(
            f"That is less than {fixed(NOTICEABLE_TDS_PCT, 2)} points, the smallest difference "
            "tasters noticed in a published test (Frost and others 2019)."
        )
    if overlap(ours, theirs):
        said.append("The ranges overlap, so which one is stronger is not certain.")
    return said


def on_extraction(a: Estimate, b: Estimate, fixed: Fixed) -> list[str]:
    """A comparison of extractions, if both came from the same kind of formula."""
    ours, theirs = a.extraction_pct, b.extraction_pct
    if ours is None or theirs is None:
        return ["The extraction of one of the two is not known, so they are not compared."]
    if a.formula != b.formula:
        return [
            f"Extraction of A is by {a.formula}, of B by {b.formula}: two different sums, which "
            "do not give the same number for the same coffee. The two are not compared."
        ]
    apart = abs(theirs.value - ours.value)
    more = "B" if theirs.value > ours.value else "A"
    if apart < 0.05:
        return ["By these numbers as much was extracted in both."]
    said = [f"{more} is extracted more by {fixed(apart, 1)} points."]
    if overlap(ours, theirs):
        said.append("The ranges overlap, so which one is extracted more is not certain.")
    return said


def overlap(a: Ranged, b: Ranged) -> bool:
    return a.low <= b.high and b.low <= a.high
