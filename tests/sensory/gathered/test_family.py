"""The tests under one question as one family: what they may claim, and what was looked at."""

from __future__ import annotations

from dataclasses import replace
from math import comb, inf
from unittest.mock import patch

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from app.sensory.blind.planning import outcomes
from app.sensory.blind.preference_rule import Fixed
from app.sensory.blind.sequential import EveryMorning, FixedNumber, StepByStep
from app.sensory.gathered.blind import Blind
from app.sensory.gathered.claims import LookedAt, most_by_luck, worth
from app.sensory.gathered.errors import EVERY_MORNING, false_alarm, false_preference
from app.sensory.gathered.family import Share, account, multiplied
from app.sensory.gathered.several import e_bh, holm
from app.sensory.gathered.sighted import Sighted, contrasts
from app.sensory.gathered.weight import weigh

WAYS, CUPS = "these ways of brewing", "these cups"
SHOWN = Blind(WAYS, "shown", 11, 30.9, 0.01, ("Nell",), error=0.04, p_d=0.4)
OPEN = Blind(WAYS, "open", 5, 0.4, 0.9, ("Nell",), error=0.04, p_d=0.4)
CLOSE = Blind(WAYS, "close enough", 20, 0.1, 11.0, ("Nell",), error=0.04, p_d=0.4)
UNDECIDED = Blind(WAYS, "undecided", 18, 0.4, 0.9, ("Nell",), error=0.0433, fixed=True)


def share(ended: bool, evidence: float = 1.0, error: float = 0.04, claim: str = WAYS) -> Share:
    return Share(claim, evidence, ended, error)  # type: ignore[arg-type]


def test_fault_7_one_close_enough_of_twenty_ended_is_not_close_enough() -> None:
    for place in range(20):
        tests = [UNDECIDED] * 19
        tests.insert(place, CLOSE)
        assert weigh(tests).level == "mixed"


def test_fault_7_a_test_added_after_one_that_showed_nothing_does_not_claim_by_itself() -> None:
    stopped = replace(OPEN, state="stopped")
    for before in ([OPEN], [stopped], [replace(UNDECIDED, gone="in the bin")], [OPEN] * 6):
        assert weigh([*before, SHOWN]).level in ("hint", "mixed")


@pytest.mark.parametrize("gone", ["in the bin", "taken away"])
def test_fault_7_the_bin_does_not_clean_a_question(gone: str) -> None:
    binned = replace(UNDECIDED, gone=gone)
    cleaned = weigh([SHOWN, binned])
    assert (cleaned.level, weigh([SHOWN]).level) == ("mixed", "shown")
    assert f"2 blind tests (1 {gone})" in cleaned.looked_at


def test_fault_1_opposite_directions_are_mixed_not_shown() -> None:
    one, other = (replace(SHOWN, attribute="body", way=way) for way in ("A", "B"))
    assert weigh([one, other]).level == "mixed"
    assert weigh([one, one]).level == "shown"


def test_fault_19_the_bound_on_a_hint_is_for_all_that_was_looked_at() -> None:
    leaning = Blind(WAYS, "open", 3, 3.6, 0.25, ("Nell",))
    pairs = [Sighted(True, "dose", "the lower")] * 4
    said = weigh([leaning, replace(OPEN, evidence=0.9)], pairs)
    assert said.level == "hint"
    assert said.not_said.endswith("in up to 1 case in 3, all 3 looked at counted.")
    assert weigh([*[leaning] * 3, *[OPEN] * 2]).level == "hint"  # 3.6³ · 0.4² is over 3 ...
    assert weigh([leaning, *[OPEN] * 4]).level == "mixed"  # ... and 3.6 · 0.4⁴ is not


def test_what_was_looked_at_is_said() -> None:
    tests = [SHOWN, OPEN, replace(OPEN, state="stopped"), replace(CLOSE, left_out=2)]
    said = weigh(tests, [Sighted(True, "dose", "the lower"), Sighted(True, "grind", "finer")])
    assert said.looked_at.startswith(
        "Looked at: 4 blind tests (1 not ended, 1 stopped, 1 put here after the first answer) and "
        "2 things compared sighted. Counted together, chance alone"
    )
    assert weigh([]).looked_at == ""


def test_the_first_test_claims_by_its_own_rule_and_later_ones_by_what_is_left() -> None:
    first = account([share(True)])
    assert (first.claims, first.line) == ({WAYS}, pytest.approx(200))
    assert account([share(False), share(True, 30)]).claims == set()
    assert account([share(False), share(True, 20), share(True, 20)]).claims == {WAYS}
    assert account([share(False), share(True, 20), share(True, 20, claim=CUPS)]).claims == set()


def test_a_question_may_go_on_from_two_cups_to_two_ways() -> None:
    cups = share(True, 24.2, claim=CUPS)
    assert account([cups, share(True, 30)]).claims == {CUPS, WAYS}
    assert account([share(False, claim=CUPS), share(True, 30)]).claims == set()
    dearer = share(True, 5, error=0.0433)
    assert account([cups, dearer]).claims == {CUPS}


def test_a_panel_spends_the_whole_account() -> None:
    spent = account([share(False, error=0.05), *[share(True, 1e6)] * 9])
    assert (spent.claims, spent.line) == (set(), inf)
    assert account([share(True, error=0.05)]).claims == {WAYS}


def test_a_rule_dearer_than_the_account_claims_only_with_others() -> None:
    close = share(True, 11, error=0.10)
    assert (account([close]).claims, account([close]).line) == (set(), pytest.approx(40))
    assert account([close, close]).claims == {WAYS}


def test_tests_poured_from_the_same_brews_are_one_look() -> None:
    brews = frozenset({1, 2})
    pair = [replace(share(True, 30), brews=brews), replace(share(True, 30), brews=brews)]
    assert account([share(False), *pair]).claims == set()
    assert multiplied(pair) == 30
    of_cups = [replace(one, claim=CUPS) for one in pair]
    assert account([share(False), *of_cups]).claims == {CUPS}


@given(st.lists(st.tuples(st.booleans(), st.sampled_from([0.02, 0.04, 0.05])), max_size=8))
def test_a_family_that_claims_has_evidence_of_twenty(tests: list[tuple[bool, float]]) -> None:
    shares = [share(ended, 25 if ended else 0.2, error) for ended, error in tests]
    found = account(shares)
    assert bool(found.claims) is (found.evidence >= 20 - 1e-9)


def test_side_by_sides_that_share_a_brew_are_one_coin() -> None:
    lucky = [Sighted(True, "dose", "the lower", frozenset({1, other})) for other in range(2, 6)]
    (found,) = contrasts(lucky)
    assert (found.most, found.n, found.shared, found.agrees) == (1, 1, 3, False)
    apart = [Sighted(True, "dose", "the lower", frozenset({n, n + 10})) for n in range(4)]
    assert contrasts(apart)[0].agrees


def test_holm_as_in_the_worked_example() -> None:
    """Four p-values as commonly given with Holm 1979; statsmodels multipletests agrees."""
    assert holm([0.01, 0.04, 0.03, 0.005]) == pytest.approx([0.03, 0.06, 0.06, 0.02])
    assert holm([0.01], looked_at=4) == pytest.approx([0.04])
    with pytest.raises(ValueError, match="more claims"):
        holm([0.1, 0.2], looked_at=1)


@given(st.lists(st.floats(0, 1), min_size=1, max_size=12))
def test_holm_as_in_statsmodels(p_values: list[float]) -> None:
    from statsmodels.stats.multitest import multipletests

    with patch("gc.collect"):  # which it calls each time, half a second in a run of all tests
        theirs = multipletests(p_values, method="holm")[1]
    assert holm(p_values) == pytest.approx(list(theirs))


def test_e_bh_claims_the_k_largest_that_reach_their_line() -> None:
    """K / (k α) with K = 5: 100, 50, 33.3, 25, 20 (Wang and Ramdas 2022, definition 1)."""
    assert e_bh([101, 1, 1, 1, 1], 5) == [True, False, False, False, False]
    assert e_bh([99, 1, 1, 1, 1], 5) == [False] * 5
    assert e_bh([51, 99, 1], 5) == [True, True, False]
    assert e_bh([20, 20, 20, 20, 20], 5) == [True] * 5
    assert e_bh([], 5) == []
    with pytest.raises(ValueError, match="more claims"):
        e_bh([1, 2], 1)


@given(st.lists(st.floats(1, 1e6), min_size=1, max_size=12))
def test_e_bh_is_the_step_up_procedure_on_one_over_e(evidence: list[float]) -> None:
    from statsmodels.stats.multitest import multipletests

    with patch("gc.collect"):
        by_p = multipletests([1 / e for e in evidence], alpha=0.05, method="fdr_bh")[0]
    assert e_bh(evidence, len(evidence)) == list(by_p)


@pytest.mark.parametrize("guess", [1 / 3, 1 / 2])
def test_what_a_rule_costs_is_no_less_than_its_false_alarms(guess: float) -> None:
    looks = outcomes(EveryMorning(guess).lines(2000), guess).shown[-1]
    assert 0.025 < looks <= EVERY_MORNING == false_alarm(EveryMorning(guess))
    for p_d in (0.2, 0.3, 0.4, 0.5):
        assert 0.02 < false_alarm(StepByStep(guess, p_d)) <= 0.05
    fixed = FixedNumber(guess, 18)
    tail = sum(comb(18, k) * guess**k * (1 - guess) ** (18 - k) for k in range(fixed.needed, 19))
    assert false_alarm(fixed) == pytest.approx(tail)
    assert false_alarm(FixedNumber(guess, 12, panel=True)) == 0.05


def test_what_a_preference_costs() -> None:
    """Both tails of the binomial: 15 of 20 or more, for either cup (.0414, by hand)."""
    assert false_preference(Fixed(20)) == pytest.approx(0.0414, abs=5e-5)
    assert false_preference(None) == 0.04
    assert false_preference(Fixed(20, panel=True)) == 0.05


def test_how_many_of_several_claims_may_be_luck() -> None:
    """Poisson's binomial distribution; equal chances give the binomial quantile of scipy."""
    for count in (1, 4, 9, 20, 60):
        assert most_by_luck([0.04] * count) == binom.ppf(0.95, count, 0.04)
    assert most_by_luck([]) == 0
    assert most_by_luck([0.5, 0.5]) == 2
    assert most_by_luck([0.05, 0.0]) == 0


def test_the_worth_of_a_list() -> None:
    looked_at = [LookedAt(0.04, True)] * 8 + [LookedAt(0.05, False)]
    found = worth(looked_at, 1, [250.0, 24.0, 24.0])
    assert (found.stands, found.surely) == ((True, False, False), 1)
    assert (found.most_shown, found.most_close) == (2, 2)
    assert found.false_shown == pytest.approx(0.37)
    assert found.false_close == pytest.approx(0.8)


def test_a_settled_direction_is_said() -> None:
    named = {"attribute": "body", "way": "B", "cups": ("Paper", "Metal")}
    assert "a difference is shown, more body in Metal." in weigh([replace(SHOWN, **named)]).reason
    liked = replace(SHOWN, attribute="", way="A", cups=("Paper", "Metal"))
    assert "a preference for Paper is shown." in weigh([liked]).reason
    not_said = weigh([liked]).not_said
    assert "without a preference test" not in not_said
    assert not_said.startswith("It does not say by how much it is preferred")
    two_cups = weigh([replace(liked, claim=CUPS)]).not_said
    assert two_cups.endswith("another pair of the same kind may come out differently.")
    assert weigh([replace(SHOWN, **named), SHOWN]).reason.endswith("a difference is shown.")
    close = [replace(CLOSE, attribute="body")] * 2
    assert "close enough in body: not told apart in 40 % of trials or more." in weigh(close).reason
