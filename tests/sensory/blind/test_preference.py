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
from app.sensory.blind.preference_rule import Fixed
from app.sensory.blind.preference_words import said
from app.sensory.blind.record import PANELS

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
    choices = [Choice("A", "A")] * 4 + [Choice("B", "B")] + [Choice(None, "B")] * 6
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


def test_fault_8_the_place_is_not_blamed_where_a_always_stood_first():
    (said,) = read_choices([Choice("A", "A")] * 9).cautions
    assert said == (
        "A stood first every time: a pull of the first cup would look the same as a preference."
    )
    # A liked wherever it stood, which by the lot was first more often than not.
    liked = [Choice("A", "A")] * 14 + [Choice("A", "B")] * 2
    assert read_choices(liked).first_low > 0.5
    assert read_choices(liked).cautions == ()


def choices(a, b, ties=0, taster="Juniper"):
    return (
        [Choice("A", "A", taster), Choice("A", "B", taster)] * (a // 2)
        + [Choice("A", "A", taster)] * (a % 2)
        + [Choice("B", "A", taster)] * b
        + [Choice(None, "A", taster)] * ties
    )


MANY, EACH, ALONE = "several trials each", "one trial each", "one taster"
ABOUT = "It is about these two brews; another pair from the same recipes may differ."
REVIEWED = [
    ([], None, "open", ALONE, "No preference given yet: nothing is known."),
    (choices(0, 0, 3), None, "open", ALONE, "No preference given yet: nothing is known."),
    (
        choices(5, 1, 1),
        None,
        "open",
        ALONE,
        "Juniper preferred A 5 times, B once, and neither once; a coin gives each about 3. That is "
        "not enough yet to say that either is preferred: the test goes on.",
    ),
    (
        choices(0, 8, taster=""),
        None,
        "shown",
        ALONE,
        "You preferred A never, B 8 times; a coin gives each about 4. That is enough to say that "
        "you prefer B.",
    ),
    (
        choices(2, 2),
        None,
        "stopped",
        ALONE,
        "Juniper preferred A twice, B twice; a coin gives each about 2. It was stopped before its "
        "rule was met, so there is no verdict.",
    ),
    (
        choices(9, 1),
        Fixed(10),
        "shown",
        ALONE,
        "Juniper preferred A 9 times, B once; a coin gives each about 5. That is enough to say "
        "that Juniper prefers A.",
    ),
    (
        choices(6, 4),
        Fixed(10),
        "undecided",
        ALONE,
        "Juniper preferred A 6 times, B 4 times; a coin gives each about 5. That is not enough to "
        "say that either is preferred.",
    ),
    (
        choices(9, 3, taster="Fern") + choices(9, 1) + choices(0, 2, taster="Hazel"),
        Fixed(24),
        "shown",
        MANY,
        "These tasters preferred A 18 times, B 6 times; a coin gives each about 12. That is enough "
        "to say that their answers, taken together, favour A. Each alone: Fern A 9, B 3; Juniper "
        "A 9, B 1; Hazel A 0, B 2.",
    ),
    (
        choices(9, 1),
        Fixed(10, panel=True),
        "shown",
        EACH,
        "9 tasters preferred A, 1 B; a coin gives each about 5. That is enough to say that more "
        "people like these prefer A, not that all do.",
    ),
]


@pytest.mark.parametrize(("given", "fixed", "state", "panel", "sentence"), REVIEWED)
def test_fault_8_a_preference_says_whose_it_is(given, fixed, state, panel, sentence):
    found = said(read_choices(given), fixed, state, "these cups", panel)
    assert found.sentence == sentence
    if given and state == "shown":
        assert found.not_said == (
            f"It says nothing about how much better, or why. {ABOUT} {PANELS[panel]}"
        )
    else:
        assert found.not_said.startswith("Neither is shown to be preferred")
    parted = ("Not all lean the same way: Hazel for B.",) if panel == MANY else ()
    assert found.cautions == parted


def test_the_sums_of_a_preference():
    (found,) = said(read_choices(choices(0, 8)), None, "shown", "these cups", ALONE).sums
    assert found == (
        "Evidence for a preference, whichever cup: 28. The line is at 20, which tossing a coin "
        "would ever reach in at most 1 test in 20."
    )
    (found,) = said(read_choices(choices(9, 1)), Fixed(10), "shown", "these cups", ALONE).sums
    assert found == (
        "9 or more of 10 for one cup show a preference; a coin gives that in 2.1 tests of 100."
    )


def test_a_claim_about_ways_of_brewing_is_worded_so():
    found = said(read_choices(choices(8, 0)), None, "shown", "these ways of brewing", ALONE)
    assert "about these ways of brewing as done here, with this bag." in found.not_said
