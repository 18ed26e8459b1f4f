import json
from pathlib import Path

import pytest
from scipy.integrate import quad
from scipy.stats import binomtest

from app.sensory.blind.lines import two_lines
from app.sensory.blind.planning import outcomes
from app.sensory.blind.preference import (
    Choice,
    evidence_either,
    fixed_state,
    least_majority,
    read_choices,
)

MAJORITIES = json.loads((Path(__file__).parent / "cases" / "majority.json").read_text())


@pytest.mark.parametrize("case", MAJORITIES, ids=lambda case: case["name"])
def test_published_majorities(case):
    found = {n: least_majority(int(n), **case["inputs"]) for n in case["expected"]}
    assert found == case["expected"]


@pytest.mark.parametrize("alpha", [0.2, 0.05, 0.01])
def test_majority_is_the_least_one_that_scipy_accepts(alpha):
    for n in range(1, 80):
        counts = [k for k in range(n // 2 + 1, n + 1) if binomtest(k, n).pvalue <= alpha]
        assert least_majority(n, alpha) == (min(counts) if counts else None)


@pytest.mark.parametrize(("count", "n"), [(0, 0), (3, 3), (5, 9), (20, 31)])
def test_evidence_agrees_with_the_integral(count, n):
    integral = quad(lambda p: (2 * p) ** count * (2 - 2 * p) ** (n - count), 0, 1)[0]
    assert evidence_either(count, n) == pytest.approx(integral)


def test_evidence_does_not_care_which_cup_leads():
    assert all(
        evidence_either(k, 40) == pytest.approx(evidence_either(40 - k, 40)) for k in range(41)
    )


def test_a_coin_looked_at_after_every_toss_gives_at_most_5_percent_false_alarms():
    shown, ended = [], []
    for n in range(1, 2001):
        least = shown[-1] if shown else n // 2 + 1
        least = max(least, n // 2 + 1)
        while least <= n and evidence_either(least, n) < 20 * (1 - 1e-9):
            least += 1
        shown.append(least)
        ended.append(n - least if least <= n else -1)
    found = outcomes(two_lines(tuple(shown), tuple(ended)), 0.5)
    assert found.shown[-1] == pytest.approx(found.ended[-1])
    assert 0.02 < found.shown[-1] + found.ended[-1] <= 0.05


def test_fixed_number_ends_once_certain():
    assert least_majority(10) == 9
    assert fixed_state(8, 0, 10, 9) == "open"
    assert fixed_state(8, 1, 10, 9) == "open"
    assert fixed_state(8, 2, 10, 9) == "undecided"
    assert fixed_state(1, 9, 10, 9) == "shown"
    assert fixed_state(2, 2, 10, 9) == "undecided"
    with pytest.raises(ValueError, match="more answers"):
        fixed_state(6, 5, 10, 9)


def test_ties_are_set_aside_and_shown():
    choices = [Choice("A", "A")] * 4 + [Choice("B", "A")] + [Choice(None, "B")] * 6
    found = read_choices(choices)
    assert (found.a, found.b, found.ties) == (4, 1, 6)
    assert found.evidence == evidence_either(4, 5)
    assert found.cautions == ("Most answers were ties: the preference, if any, is rarely felt.",)


def test_a_taster_who_always_takes_the_first_cup_is_noticed():
    found = read_choices([Choice("A", "A"), Choice("B", "B")] * 8)
    assert (found.a, found.b, found.first_preferred) == (8, 8, 16)
    assert found.cautions == (
        "The cup tasted first was preferred 16 of 16 times: place has an effect here, so the "
        "order must stay drawn afresh for every trial.",
    )
    assert not found.shown


@pytest.mark.parametrize(
    ("a", "b", "ties", "sentence"),
    [
        (0, 0, 0, "No preference given yet: nothing is known."),
        (0, 0, 3, "No preference given yet: nothing is known."),
        (
            5,
            1,
            1,
            "A preferred 5 times, B once, 1 without a preference: open, since the evidence for a "
            "preference is 1.52 and the line is at 20. Neither is shown to be preferred, nor that "
            "they are liked the same.",
        ),
        (
            0,
            8,
            0,
            "A preferred never, B 8 times: a preference for B is shown, since tossing a coin would "
            "ever bring the evidence (28.4 now) to 20 in at most 1 test in 20. It says nothing "
            "about how much better, or why. It is about these two brews; another pair from the "
            "same recipes may differ.",
        ),
    ],
)
def test_sentences(a, b, ties, sentence):
    choices = [Choice("A", "A")] * a + [Choice("B", "A")] * b + [Choice(None, "A")] * ties
    assert read_choices(choices).sentence == sentence


def test_a_claim_about_ways_of_brewing_is_worded_so():
    found = read_choices([Choice("A", "A")] * 8, "these ways of brewing")
    assert found.sentence.endswith("about these ways of brewing as done here, with this bag.")
