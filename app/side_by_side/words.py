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
    (
        "drip",
        False,
    ): "drip, estimated: some 20 % of the dose, more with more water or a finer grind",
}
Fixed = Callable[[float, int], str]  # how a number with so many digits is written

NO_SUM = "none for this kind of brewer"


def sum_of(estimate: Estimate) -> str:
    """Which formula gave the extraction of a cup."""
    return SUMS.get((estimate.formula, estimate.measured), NO_SUM)


def on_strength(a: Estimate, b: Estimate, apart: Ranged | None, fixed: Fixed) -> list[str]:
    """Whether tasters would notice the difference, and whether its direction is certain.

    `apart` is B less A. Noticeable: 0.24 points of TDS (Frost et al. 2019).
    """
    if a.strength_pct is None or b.strength_pct is None or apart is None:
        return ["The strength of one of the two is not known, so they are not compared."]
    points = abs(apart.value)
    if points < 0.005:
        return ["By these numbers the two are equally strong."]
    about = "" if a.measured and b.measured else "about "
    said = [f"{_more(apart)} is stronger by {about}{fixed(points, 2)} points of TDS."]
    if points < NOTICEABLE_TDS_PCT:
        said.append(
            f"That is less than {fixed(NOTICEABLE_TDS_PCT, 2)} points, the smallest difference "
            "tasters noticed in a published test (Frost and others 2019)."
        )
    return said + _certain(a.strength_pct, b.strength_pct, apart, "stronger")


def on_extraction(a: Estimate, b: Estimate, apart: Ranged | None, fixed: Fixed) -> list[str]:
    """A comparison of extractions, if both came from the same kind of formula."""
    if a.extraction_pct is None or b.extraction_pct is None or apart is None:
        return ["The extraction of one of the two is not known, so they are not compared."]
    if a.formula != b.formula:
        return [
            f"Extraction of A is by {a.formula}, of B by {b.formula}: two different sums, which "
            "do not give the same number for the same coffee. The two are not compared."
        ]
    if abs(apart.value) < 0.05:
        return ["By these numbers as much was extracted in both."]
    about = "" if a.measured and b.measured else "about "
    said = f"{_more(apart)} is extracted more by {about}{fixed(abs(apart.value), 1)} points."
    return [said, *_certain(a.extraction_pct, b.extraction_pct, apart, "extracted more")]


def _more(apart: Ranged) -> str:
    return "B" if apart.value > 0 else "A"


def _certain(ours: Ranged, theirs: Ranged, apart: Ranged, more: str) -> list[str]:
    """Two ranges may overlap though the difference is certain: they share what is not known."""
    if apart.low <= 0 <= apart.high:
        return [
            f"What is not known of the two could turn that round, so which one is {more} is not "
            "certain."
        ]
    if ours.low <= theirs.high and theirs.low <= ours.high:
        return [
            "The two ranges overlap, but the difference is larger than what is not known of it, so "
            "the order is certain enough."
        ]
    return []
