"""What the journal's brews teach, and which of them teach nothing."""

from __future__ import annotations

import pytest

from app.brewing.strength import notes
from app.brewing.strength.left_out import FAR_FROM_OTHERS, HEAVIER
from app.journal.estimates import estimate_of
from app.journal.lessons import MeasuredRow, learn_from


def row(**given: object) -> MeasuredRow:
    plain: dict[str, object] = {
        "kind": "cone", "dose_g": 15.0, "water_g": 250.0, "bypass_g": 0.0, "ice_g": 0.0,
        "water_temp_c": 93.0, "steep_s": 180, "press_s": None, "grind": "medium",
        "beverage_g": None, "tds_pct": None, "stirs": None, "brix": None, "first_brewer_id": 1,
        "grinder_id": 2,
    }  # fmt: skip
    return MeasuredRow(**plain | given)  # type: ignore[arg-type]


def test_fault_12_weighing_alone_teaches_what_the_grounds_hold() -> None:
    """r = (W - B)/D + 0.20: (250 - 220)/15 + 0.20 = 2.2. Before, only with a measured strength."""
    known = learn_from([], [row(beverage_g=220.0 + n / 10) for n in range(12)])
    held = known.retained[1]
    assert held.n == 12
    assert held.value == pytest.approx(2.2, abs=0.05)
    usual, own = estimate_of(row(), learn_from([], [])), estimate_of(row(), known)
    assert usual.beverage_g is not None
    assert own.beverage_g is not None
    assert own.beverage_g.value == pytest.approx(usual.beverage_g.value - 0.5 * 15, abs=1.0)


def test_fault_5_an_impossible_strength_and_a_heavy_beverage_move_no_estimate() -> None:
    """3.1 % taught every estimate times 1.73, a beverage of 290 g that grounds give water back."""
    slips = [row(tds_pct=3.1, beverage_g=220.0), row(beverage_g=290.0), row(beverage_g=255.0)]
    known = learn_from(slips[:1], slips)
    assert estimate_of(row(), known).strength_pct == estimate_of(
        row(), learn_from([], slips[:1])
    ).strength_pct  # fmt: skip
    assert known.retained[1].n == 1
    assert known.retained[1].value > 1.7
    assert known.left_out == {
        slips[0]: notes.ABOVE_SOLUBLE, slips[1]: HEAVIER, slips[2]: HEAVIER
    }  # fmt: skip


def test_one_brew_far_from_the_others_is_left_out_and_named() -> None:
    good = [row(tds_pct=1.30 + n / 100, beverage_g=221.0) for n in range(6)]
    slip = row(tds_pct=1.75, beverage_g=221.0)
    known, without = learn_from([*good, slip], []), learn_from(good, [])
    assert known.left_out == {slip: FAR_FROM_OTHERS}
    ours, theirs = (estimate_of(row(), one).strength_pct for one in (known, without))
    assert ours is not None
    assert theirs is not None
    assert ours == pytest.approx(theirs, abs=0.01)


def test_a_brew_measured_in_brix_teaches_like_any_other() -> None:
    known = learn_from([row(tds_pct=1.275, brix=1.5, beverage_g=221.0)], [])
    assert known.calibrations[1, 2].n == 1
