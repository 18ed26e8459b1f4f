"""What may be said of two strengths and two extractions."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

from app.brewing.ranged import Ranged
from app.brewing.strength.cup import Cup
from app.brewing.strength.estimate import Estimate, estimate_cup
from app.formats import Formats
from app.side_by_side import words as cups
from app.side_by_side.words import sum_of

PRESSED = Cup("pressed immersion", 11.0, 200.0, water_temp_c=94.0, steep_s=120.0)


def estimate(strength: float, either: float = 0.03, extraction: float = 20.0) -> Estimate:
    """A measured immersion brew."""
    return replace(
        estimate_cup(PRESSED),
        strength_pct=Ranged(strength, strength - either, strength + either),
        extraction_pct=Ranged(extraction, extraction - 0.5, extraction + 0.5),
        measured=True,
    )


def less(ours: Ranged | None, theirs: Ranged | None) -> Ranged | None:
    """B less A, of cups that share nothing: the errors of two meters add up as squares."""
    if ours is None or theirs is None:
        return None
    best, either = (
        theirs.value - ours.value,
        hypot(ours.high - ours.value, theirs.high - theirs.value),
    )
    return Ranged(best, best - either, best + either)


def on_strength(a: Estimate, b: Estimate, fixed: cups.Fixed | None = None) -> list[str]:
    apart = less(a.strength_pct, b.strength_pct)
    return cups.on_strength(a, b, apart, fixed or Formats().fixed)


def on_extraction(a: Estimate, b: Estimate) -> list[str]:
    return cups.on_extraction(a, b, less(a.extraction_pct, b.extraction_pct), Formats().fixed)


def test_a_difference_tasters_notice_is_given_plainly() -> None:
    # Frost et al. 2019: 0.24 points of TDS is noticeable.
    assert on_strength(estimate(1.10), estimate(1.35)) == ["B is stronger by 0.25 points of TDS."]


def test_less_than_the_published_noticeable_difference_is_said() -> None:
    said = " ".join(on_strength(estimate(1.35), estimate(1.12)))
    assert "A is stronger by 0.23 points" in said
    assert "less than 0.24 points" in said
    assert "Frost and others 2019" in said
    assert "overlap" not in said


def test_a_difference_that_may_turn_round_is_said() -> None:
    said = on_strength(estimate(1.10, either=0.25), estimate(1.36, either=0.25))
    assert said[-1] == (
        "What is not known of the two could turn that round, so which one is stronger is not "
        "certain."
    )


def test_fault_10_overlapping_ranges_do_not_make_a_difference_uncertain() -> None:
    """cf7c70f: "which one is stronger is not certain" wherever two ranges overlapped."""
    said = on_strength(estimate(1.10, either=0.15), estimate(1.36, either=0.15))
    assert said[-1] == (
        "The two ranges overlap, but the difference is larger than what is not known of it, so the "
        "order is certain enough."
    )


def test_equal_strengths_are_called_equal() -> None:
    assert on_strength(estimate(1.2), estimate(1.2)) == [
        "By these numbers the two are equally strong."
    ]


def test_an_unknown_strength_is_not_compared() -> None:
    unknown = estimate_cup(replace(PRESSED, kind="other"))
    assert "not known" in on_strength(unknown, estimate(1.2))[0]
    assert "not known" in on_extraction(estimate(1.2), unknown)[0]


def test_extractions_of_one_formula_are_compared_with_their_ranges() -> None:
    said = on_extraction(estimate(1.2, extraction=19.0), estimate(1.2, extraction=21.0))
    assert said == ["B is extracted more by 2.0 points."]
    near = on_extraction(estimate(1.2, extraction=20.0), estimate(1.2, extraction=20.4))
    assert near[1].endswith("so which one is extracted more is not certain.")


def test_immersion_and_drip_are_never_compared_without_a_word() -> None:
    # Liang 2021: the drip sum reads 18.2 % where the immersion sum reads 21.5 %.
    cone = estimate_cup(replace(PRESSED, kind="cone"))
    said = on_extraction(estimate_cup(PRESSED), cone)
    assert len(said) == 1
    assert "A is by immersion, of B by drip" in said[0]
    assert "not compared" in said[0]


def test_every_kind_of_number_names_its_sum() -> None:
    assert sum_of(estimate_cup(PRESSED)).startswith("immersion, estimated")
    assert "ratio × t ÷ (1 − t)" in sum_of(estimate_cup(replace(PRESSED, tds_pct=1.2)))
    assert sum_of(estimate_cup(replace(PRESSED, kind="cone"))).startswith("drip, estimated")
    assert "t × beverage ÷ dose" in sum_of(estimate_cup(replace(PRESSED, kind="cone", tds_pct=1.2)))
    assert sum_of(estimate_cup(replace(PRESSED, kind="other"))) == "none for this kind of brewer"


def test_numbers_are_written_as_the_household_likes() -> None:
    said = " ".join(on_strength(estimate(1.35), estimate(1.12), Formats("de").fixed))
    assert "0,23 points" in said
    assert "0,24 points" in said
