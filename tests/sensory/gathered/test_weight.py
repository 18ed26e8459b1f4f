"""How strong evidence is said to be: every level, and what never makes it stronger."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any, get_args

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from app.sensory.blind.evalue import log_evidence, log_evidence_close
from app.sensory.blind.preference import evidence_either
from app.sensory.gathered.blind import Blind
from app.sensory.gathered.sighted import HINT_AT, Sighted, contrasts
from app.sensory.gathered.weight import Level, luck, weigh
from app.sensory.gathered.words import LEVELS

HERE = Path(__file__).parent
DEVELOPERS = (HERE.parents[2] / "DEVELOPERS.md").read_text()
CASES = json.loads((HERE / "cases" / "weight.json").read_text())
WAYS, CUPS = "these ways of brewing", "these cups"
ORDER = get_args(Level)
CUPS_OF = ("paper", "metal")

LOWER = Sighted(True, "dose", "the lower")
HIGHER = Sighted(True, "dose", "the higher")
UNFAIR = Sighted(False)
FAR_ALONG = Blind(WAYS, "open", 40, 1e6, 1e-6, ("Nell",))
SHOWN = Blind(WAYS, "shown", 11, 30.9, 0.01, ("Nell",), error=0.04, p_d=0.4)
OPEN = Blind(WAYS, "open", 5, 0.4, 0.9, ("Nell",), error=0.04, p_d=0.4)
CLOSE = Blind(WAYS, "close enough", 20, 0.1, 11.0, ("Nell",), error=0.04, p_d=0.4)
UNDECIDED = Blind(WAYS, "undecided", 18, 0.4, 0.9, ("Ivo",), error=0.0433, fixed=True)


def read(inputs: dict[str, Any]) -> Any:
    blind = [
        Blind(**one | {name: tuple(one[name]) for name in ("tasters", "cups") if name in one})
        for one in inputs["blind"]
    ]
    sighted = [
        Sighted(one["fair"], one["contrast"], one["favours"])
        for one in inputs["sighted"]
        for _ in range(one["times"])
    ]
    return weigh(blind, sighted, inputs["scored_brews"])


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_the_rule_case_by_case(case: dict[str, Any]) -> None:
    assert read(case["inputs"]).level == case["expected"]


def test_every_level_has_a_case_and_stands_in_the_guide_and_on_the_page() -> None:
    assert {case["expected"] for case in CASES} == set(ORDER)
    section = DEVELOPERS.partition("## How strong is the evidence")[2].partition("\n## ")[0]
    rows = {cell for line in section.splitlines() if line[:1] == "|" for cell in line.split("|")}
    named = ", ".join(cell.strip() for cell in rows).split(", ")
    assert set(ORDER) <= set(named)
    assert set(ORDER) == {level for names, _ in LEVELS for level in names.split(", ")}


@given(st.lists(st.sampled_from([LOWER, HIGHER, UNFAIR]), max_size=300), st.integers(0, 10_000))
def test_sighted_cups_never_make_more_than_a_hint(pairs: list[Sighted], brews: int) -> None:
    assert weigh([], pairs, brews).level in ("none", "anecdote", "hint")


@given(st.permutations([FAR_ALONG, OPEN, Blind(CUPS, "close enough", 9, 0.1, 12.0, ("Ivo",))]))
def test_the_order_of_the_tests_after_the_first_does_not_matter(tests: list[Blind]) -> None:
    assert weigh([SHOWN, *tests]).level == "shown"


def test_evidence_beyond_the_line_settles_nothing_before_the_rule_does() -> None:
    assert weigh([FAR_ALONG]).level == "hint"


@pytest.mark.parametrize(("shown", "ended"), [(1, 1), (1, 2), (2, 7), (2, 8), (3, 8), (5, 40)])
def test_luck_is_the_binomial_tail(shown: int, ended: int) -> None:
    assert luck(shown, ended) == pytest.approx(binom.sf(shown - 1, ended, 0.05))


def test_a_coin_seldom_makes_a_hint_of_fair_comparisons() -> None:
    """Exact over every path of 400 comparisons, looked at after each."""
    alive, ever = np.array([1.0]), 0.0
    for n in range(1, 401):
        alive = np.convolve(alive, [0.5, 0.5])
        over = np.array([evidence_either(count, n) >= HINT_AT for count in range(n + 1)])
        ever += alive[over].sum()
        alive[over] = 0.0
    assert 0.05 < ever <= 1 / HINT_AT


@pytest.mark.parametrize("guess", [1 / 3, 1 / 2])
@pytest.mark.parametrize("way", ["a difference", "close enough"])
def test_chance_seldom_makes_a_hint_of_a_blind_test(guess: float, way: str) -> None:
    """Exact over every path of 400 trials, at guessing and at the size that would matter."""
    p = guess if way == "a difference" else guess + 0.4 * (1 - guess)
    log_e = log_evidence if way == "a difference" else log_evidence_close
    alive, ever = np.array([1.0]), 0.0
    for n in range(1, 401):
        alive = np.convolve(alive, [1 - p, p])
        over = log_e(np.arange(n + 1), n, p) >= np.log(HINT_AT)
        ever += alive[over].sum()
        alive[over] = 0.0
    assert 0.05 < ever <= 1 / HINT_AT


@pytest.mark.parametrize(
    ("most", "n", "agree"), [(3, 3, False), (4, 4, True), (6, 7, False), (7, 8, True)]
)
def test_how_many_fair_comparisons_agree(most: int, n: int, agree: bool) -> None:
    (found,) = contrasts([LOWER] * most + [HIGHER] * (n - most))
    assert found.agrees is agree
    if agree:
        assert found.sentence == (
            f"{most} of {n} fair side by sides, all sighted, went the same way (dose: the lower "
            "preferred)."
        )


def test_what_one_person_tasted_holds_for_that_person() -> None:
    assert weigh([SHOWN]).holds_for == "It holds for Nell; others may taste it differently."
    both = weigh([SHOWN, Blind(WAYS, "shown", 9, 25.0, 0.1, ("Ivo",))])
    assert both.holds_for.startswith("It holds for these tasters: Nell and Ivo;")
    crowd = ("Ada", "Bo", "Cy", "Di")
    people = Blind(WAYS, "shown", 4, 24.2, 0.1, crowd, "one trial each")
    assert "people like these" in weigh([people]).holds_for
    pooled = Blind(WAYS, "shown", 40, 24.2, 0.1, crowd, "several trials each")
    assert "these tasters: Ada, Bo, Cy and Di" in weigh([pooled]).holds_for


# Each read line by line: true, and no more than what was gathered bears.
REVIEWED = [
    (
        weigh([]),
        "Nothing gathered here says how it tastes.",
        "",
        "Nothing is known either way.",
        "Brew both ways on one morning with nothing else changed, and save the two side by side; "
        "or plan a blind test at once.",
    ),
    (
        weigh([], [UNFAIR], 3),
        "Only cups outside a blind test: 3 scored brews and 1 side by side, 0 fair.",
        "It holds for those who tasted; they could know which cup was which.",
        "It cannot tell a difference from the luck of single cups, or from what one expects to "
        "taste.",
        "Save side by sides in which nothing but this one thing differs. Four fair ones that all "
        "go the same way make a hint; a blind test goes further.",
    ),
    (
        weigh([], [LOWER] * 4),
        "4 of 4 fair side by sides, all sighted, went the same way (dose: the lower preferred).",
        "It holds for those who tasted; they could know which cup was which.",
        "It does not show anything yet: chance alone brings a hint in up to 1 case in 3.",
        "Plan a blind test and let its rule end it: more sighted cups, however many, are a hint "
        "at most.",
    ),
    (
        weigh([Blind(WAYS, "open", 3, 10.0, 0.25, ("Nell",))]),
        "A blind test leans towards a difference; no rule has settled it.",
        "It holds for Nell; others may taste it differently.",
        "It does not show anything yet: chance alone brings a hint in up to 1 case in 3.",
        "Carry on the blind test until its own rule ends it.",
    ),
    (
        weigh([Blind(CUPS, "shown", 4, 24.2, 0.1, ("Nell",))]),
        "A blind test, ended by the rule chosen beforehand: a difference is shown.",
        "It holds for Nell; others may taste it differently.",
        "It does not say how large the difference is, nor, without a preference test, which is "
        "better. It is about two brews: another pair of the same kind may come out differently.",
        "Test the two ways of brewing: brew both afresh for every trial, in an order drawn by "
        "lot, and ask which cup has more of something or is preferred.",
    ),
    (
        weigh([SHOWN]),
        "A blind test, ended by the rule chosen beforehand: a difference is shown.",
        "It holds for Nell; others may taste it differently.",
        "It does not say how large the difference is, nor, without a preference test, which is "
        "better.",
        "To carry it further, let somebody other than Nell taste, or repeat it with another bag.",
    ),
    (
        weigh([CLOSE]),
        "A blind test has ended close enough, by a rule that is wrong in up to 1 of 10 tests; a "
        "question asks for 1 in 20, which two tests that end so reach.",
        "It holds for Nell; others may taste it differently.",
        "It does not show anything yet: chance alone brings a hint in up to 1 case in 3.",
        "Plan one more test and put it here before its first answer: two that end alike settle it.",
    ),
    (
        weigh([CLOSE, replace(CLOSE, tasters=("Ivo",), p_d=0.3)]),
        "In 2 of 2 blind tests that ended, A and B are close enough: not told apart in 40 % of "
        "trials or more.",
        "It holds for these tasters: Nell and Ivo; others may taste it differently.",
        "It does not say that there is no difference: a smaller one is not ruled out.",
        "If a smaller difference would matter, plan a test for that size.",
    ),
    (
        weigh([OPEN, SHOWN]),
        "A blind test has ended with a difference shown, by its own rule, but not the first one "
        "put here: with all that was looked at counted, that may still be luck.",
        "It holds for Nell; others may taste it differently.",
        "It does not show anything yet: chance alone brings a hint in up to 1 case in 3, all 2 "
        "looked at counted.",
        "Plan one more test and put it here before its first answer: two that end alike settle it.",
    ),
    (
        weigh([replace(SHOWN, left_out=3)]),
        "A blind test speaks for a difference, but came under this question after the first "
        "answer, while 3 other tests of this journal stayed out.",
        "It holds for Nell; others may taste it differently.",
        "It does not show anything yet. What is put here after its first answer may have been "
        "picked from several for what it says, and nothing bounds how often chance alone brings "
        "such a hint.",
        "Plan one more test and put it here before its first answer: what is put here beforehand "
        "counts in full, whatever it says.",
    ),
    (
        weigh([replace(SHOWN, attribute="body", way=way, cups=CUPS_OF) for way in ("A", "B")]),
        "Blind tests that ended show opposite directions: more body for paper in one, for metal "
        "in another. A difference is there, but not one that always goes the same way.",
        "It holds for Nell; others may taste it differently.",
        "It does not say which cup has more, nor what turns it.",
        "See who tasted, and whether A and B were the same in both: tests of the same cups by the "
        "same taster tell whether it turns.",
    ),
    (
        weigh([CLOSE, *[UNDECIDED] * 3]),
        "Blind tests that ended: 4. Close enough was the end in 1; a difference of the size set "
        "beforehand gets that far in 34 % of such sets, so it may be luck.",
        "It holds for these tasters: Nell and Ivo; others may taste it differently.",
        "It does not say which of these it is.",
        "Plan one more test, and count it whatever it says.",
    ),
    (
        weigh([SHOWN, Blind(WAYS, "undecided", 18, 0.4, 0.9, ("Ivo",))]),
        "Blind tests that ended: 2. A difference was shown in 1; guessing alone gets that far in "
        "10 % of such sets, so it may be luck.",
        "It holds for these tasters: Nell and Ivo; others may taste it differently.",
        "It does not say which of these it is.",
        "Plan one more test, and count it whatever it says.",
    ),
    (
        weigh([SHOWN, Blind(WAYS, "close enough", 20, 0.1, 11.0, ("Nell",))]),
        "Blind tests that ended: 2. A difference was shown in 1, close enough in 1. Both can be "
        "true: a difference smaller than the size set beforehand, or cups or tasters that are not "
        "alike.",
        "It holds for Nell; others may taste it differently.",
        "It does not say which of these it is.",
        "See who tasted and which size was set in each test; a test of the same cups by the same "
        "taster, planned for a smaller size, tells which it is.",
    ),
]


@pytest.mark.parametrize("reviewed", REVIEWED, ids=lambda reviewed: reviewed[0].level)
def test_what_is_said(reviewed: tuple[Any, ...]) -> None:
    said, *expected = reviewed
    assert [said.reason, said.holds_for, said.not_said, said.next_step] == expected
