"""Dose and water for a wanted cup: brewing just that, as estimated, gives the cup."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.brewing.bounds import GRINDS
from app.brewing.plans.target import hit
from app.brewing.strength.calibration import learn, taught
from app.brewing.strength.cup import Cup
from app.brewing.strength.retention import Retained

KINDS = ("pressed immersion", "immersion", "cone", "flat bed")
likes = st.builds(
    Cup,
    st.sampled_from(KINDS),
    st.just(15.0),
    st.just(250.0),
    bypass_g=st.floats(0, 100),
    steep_s=st.floats(45, 600),
    grind=st.sampled_from(GRINDS),
)


@given(likes, st.floats(0.8, 1.5), st.floats(250, 900))
def test_the_brew_found_is_estimated_to_be_what_was_wanted(like, wanted_pct, beverage_g):
    found = hit(wanted_pct, beverage_g, like)
    assert found.strength_pct.value == pytest.approx(wanted_pct, rel=1e-9)
    assert found.beverage_g.value == pytest.approx(beverage_g, rel=1e-9)
    assert found.dose_g.low <= found.dose_g.value <= found.dose_g.high
    assert found.strength_pct.low < wanted_pct < found.strength_pct.high
    assert found.amounts.added_g == pytest.approx(like.added_g, abs=1e-9 * beverage_g)


def test_the_usual_cup_comes_out_of_its_own_strength():
    """SCAA Golden Cup, 23 December 2015: a litre of 1.15 to 1.35 % by drip takes about 55 g."""
    dose_g = hit(1.20, 915, Cup("cone", 15, 250)).dose_g
    assert dose_g.value == pytest.approx(55, rel=0.02)


def test_own_brews_narrow_the_range():
    like = Cup("pressed immersion", 15, 250, steep_s=120, bypass_g=100)
    plain = hit(1.2, 350, like)
    own = hit(1.2, 350, like, learn([taught(like, 0.95)] * 12), Retained(1.8, 0.08, 9))
    assert own.dose_g.high - own.dose_g.low < plain.dose_g.high - plain.dose_g.low


@pytest.mark.parametrize(
    ("wanted_pct", "beverage_g", "like", "sentence"),
    [
        (1.2, 250, Cup("other", 15, 250), "no model"),
        (90, 250, Cup("cone", 15, 250), "Strength of the cup must be"),
        (1.2, -5, Cup("cone", 15, 250), "Beverage must be"),
        (1.2, 250, Cup("cone", 15, 250, bypass_g=260), "No brew fits"),
        (1.2, 200000, Cup("cone", 15, 250), "Dose must be between"),
    ],
)
def test_what_cannot_be_gets_a_sentence(wanted_pct, beverage_g, like, sentence):
    with pytest.raises(ValueError, match=sentence):
        hit(wanted_pct, beverage_g, like)


def test_what_the_grounds_hold_is_said_with_the_brews_behind_it():
    like = Cup("pressed immersion", 15, 250, steep_s=120)
    assert sum("times the dose" in note for note in hit(1.2, 250, like).notes) == 1
    learned = hit(1.2, 250, like, retained=Retained(1.9, 0.15, 26))
    assert any("learned from weighed brews: 26." in note for note in learned.notes)
    drip = hit(1.2, 250, replace(like, kind="cone", steep_s=None))
    assert sum("times the dose" in note for note in drip.notes) == 1
