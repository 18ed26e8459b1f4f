"""Solving a brew from any three quantities: every way there and back, and what cannot be."""

from dataclasses import asdict
from itertools import combinations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from app.brewing.strength.solve import QUANTITIES, solve

formulas = st.sampled_from(("immersion", "drip"))
extractions = st.floats(0.12, 0.26)
helds = st.floats(1.4, 2.8)
brews = st.fixed_dictionaries(
    {"dose_g": st.floats(5, 100), "ratio": st.floats(4, 25), "added_g": st.floats(1, 800)}
)


def ties(formula, extraction, retention, amounts):
    """The five equations, written out apart from the solver: each pair should agree."""
    dose_g, water_g, added_g = amounts.dose_g, amounts.water_g, amounts.added_g
    brewed_g = water_g + (extraction - retention) * dose_g
    brewed = amounts.brewed_strength_pct / 100
    liquid_g = water_g + extraction * dose_g if formula == "immersion" else brewed_g
    return [
        (amounts.ratio * dose_g, water_g),
        (amounts.total_ratio * dose_g, water_g + added_g),
        (amounts.beverage_g, brewed_g + added_g),
        (brewed * liquid_g, extraction * dose_g),
        (amounts.strength_pct * amounts.beverage_g, 100 * brewed * brewed_g),
    ]


def sentence_of(call) -> str:
    try:
        call()
    except ValueError as refusal:
        return str(refusal)
    return ""


@settings(max_examples=60)
@given(formulas, extractions, helds, brews)
def test_any_three_that_suffice_give_the_brew_back(formula, extraction, retention, brew):
    whole = solve(formula, extraction, retention, **brew)
    values = asdict(whole)
    for names in combinations(QUANTITIES, 3):
        known = {name: values[name] for name in names}
        refusal = sentence_of(lambda known=known: solve(formula, extraction, retention, **known))
        if refusal:
            assert "same thing twice" in refusal or "at least one weight" in refusal
            continue
        found = solve(formula, extraction, retention, **known)
        for one, other in ties(formula, extraction, retention, found):
            assert one == pytest.approx(other, rel=1e-9)
        # three nearly parallel facts lose digits, so what was known is compared more loosely
        assert {name: asdict(found)[name] for name in names} == pytest.approx(known, rel=1e-6)
        if found.ratio <= whole.ratio * (1 + 1e-6):
            assert asdict(found) == pytest.approx(values, rel=1e-5)
        else:  # two brews fit, and the one with the higher ratio is given
            assert formula == "immersion"
            assert "strength_pct" in names


def test_of_two_brews_that_fit_the_weaker_before_dilution_is_given():
    known = {"dose_g": 16.8, "added_g": 295.0, "strength_pct": 0.6}
    found = solve("immersion", 0.2, 2.0, **known)
    assert found.ratio > 10
    other = solve("immersion", 0.2, 2.0, dose_g=16.8, added_g=295.0, ratio=5.2)
    assert other.strength_pct == pytest.approx(found.strength_pct, rel=0.02)


def test_every_sufficient_set_is_accepted():
    """Of the 56 threes only those without a weight or that repeat themselves are refused."""
    values = asdict(solve("immersion", 0.2, 2.0, dose_g=22, water_g=240, added_g=160))
    refused = []
    for names in combinations(QUANTITIES, 3):
        try:
            solve("immersion", 0.2, 2.0, **{name: values[name] for name in names})
        except ValueError:
            refused.append(set(names))
    assert len(refused) == 11
    in_brewer = {"ratio", "brewed_strength_pct"}
    for names in refused:
        assert (
            not names & {"dose_g", "water_g", "added_g", "beverage_g"}
            or names >= in_brewer
            or names
            in (
                {"dose_g", "water_g", "ratio"},
                {"dose_g", "water_g", "brewed_strength_pct"},
                {"dose_g", "beverage_g", "total_ratio"},
            )
        )


@given(formulas, extractions, helds, st.floats(5, 50), st.floats(5, 25))
def test_no_added_water_may_be_known(formula, extraction, retention, dose_g, ratio):
    known = {"dose_g": dose_g, "ratio": ratio, "added_g": 0.0}
    plain = solve(formula, extraction, retention, **known)
    found = solve(
        formula, extraction, retention, strength_pct=plain.strength_pct, dose_g=dose_g, added_g=0
    )
    assert found.water_g == pytest.approx(plain.water_g, rel=1e-9)
    assert found.strength_pct == pytest.approx(found.brewed_strength_pct, rel=1e-12)


@settings(max_examples=300)
@given(
    formulas,
    st.floats(0.001, 0.5),
    st.floats(0, 10),
    st.dictionaries(
        st.sampled_from(sorted(QUANTITIES)), st.floats(0, 2000), min_size=3, max_size=3
    ),
)
def test_any_three_numbers_give_a_brew_or_a_sentence(formula, extraction, retention, known):
    refusal = sentence_of(lambda: solve(formula, extraction, retention, **known))
    if refusal:
        assert refusal.endswith(".")
        return
    found = solve(formula, extraction, retention, **known)
    assume(max(asdict(found).values()) < 1e9)
    assert min(asdict(found).values()) >= 0
    for name, value in known.items():
        assert asdict(found)[name] == pytest.approx(value, rel=1e-5, abs=1e-6)


@pytest.mark.parametrize(
    ("known", "sentence"),
    [
        ({"dose_g": 15}, "exactly three"),
        ({"dose_g": 15, "ratio": 16, "added_g": 0, "beverage_g": 200}, "exactly three"),
        ({"ratio": 16, "total_ratio": 16, "strength_pct": 1.2}, "at least one weight"),
        ({"dose_g": 15, "water_g": 250, "ratio": 12}, "same thing twice or clash"),
        ({"dose_g": 15, "water_g": 250, "strength_pct": 3}, "taken out again"),
        ({"dose_g": 15, "water_g": 15, "added_g": 0}, "hold all the water"),
        ({"dose_g": -1, "water_g": 250, "added_g": 0}, "Dose must be between"),
        ({"dose_g": 15, "water_g": 1e9, "added_g": 0}, "Brew water must be between"),
        ({"dose_g": 15, "water_g": 250, "sugar_g": 3}, "Known quantities must be among"),
    ],
)
def test_what_cannot_be_gets_a_sentence(known, sentence):
    with pytest.raises(ValueError, match=sentence):
        solve("immersion", 0.215, 2.0, **known)


def test_a_brewer_without_a_model_is_refused():
    with pytest.raises(ValueError, match="no model"):
        solve("none", 0.2, 2.0, dose_g=15, water_g=250, added_g=0)
