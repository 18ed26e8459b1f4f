"""Each sentence below was read line by line: true, and claiming no more than the record bears."""

import re
from typing import get_args

import pytest
from scipy.stats import binom

from app.sensory.blind.fixed import FixedNumber
from app.sensory.blind.methods import METHOD_FACTS
from app.sensory.blind.record import Record, size_of
from app.sensory.blind.said import CAN, DID
from app.sensory.blind.sequential import EveryMorning
from app.sensory.blind.steps import StepByStep
from app.sensory.blind.verdict import verdict
from app.sensory.terms import Discrimination

CUPS, WAYS = "these cups", "these ways of brewing"
MORNING, THIRTY = EveryMorning(1 / 3), FixedNumber(1 / 3, 30)
EITHER_END = FixedNumber(1 / 3, 30, p_d=0.3)
COIN = EveryMorning(0.5)
PANEL_OF_12 = FixedNumber(1 / 3, 12, p_d=0.4, panel=True)
PAIRED_OF_12 = FixedNumber(0.5, 12, p_d=0.4, panel=True)

REVIEWED = [
    (
        Record("triangle", CUPS, MORNING, 0, 0),
        "open",
        "No trial yet: nothing is known.",
        "It says neither that there is a difference between these two cups nor that there is none.",
    ),
    (
        Record("triangle", CUPS, MORNING, 1, 1),
        "open",
        "You picked the odd cup 1 time out of 1; guessing gets 1 in 3. That is not enough yet to "
        "say that you can tell these two cups apart, nor that they are close enough: the test "
        "goes on.",
        "It says neither that there is a difference between these two cups nor that there is none.",
    ),
    (
        Record("triangle", CUPS, MORNING, 3, 3),
        "open",
        "You picked the odd cup 3 times out of 3; guessing gets about 1. That is not enough yet "
        "to say that you can tell these two cups apart, nor that they are close enough: the test "
        "goes on.",
        "It says neither that there is a difference between these two cups nor that there is none.",
    ),
    (
        Record("triangle", CUPS, MORNING, 4, 4),
        "shown",
        "You picked the odd cup 4 times out of 4; guessing gets about 1. That is enough to say "
        "that you can tell these two cups apart.",
        "It does not say which is better, nor how large the difference is. It is about these two "
        "brews; another pair from the same recipes may differ. It is one taster's; others may "
        "taste it differently.",
    ),
    (
        Record("triangle", CUPS, MORNING, 6, 7),
        "shown",
        "You picked the odd cup 6 times out of 7; guessing gets about 2. That is enough to say "
        "that you can tell these two cups apart.",
        "It does not say which is better, nor how large the difference is. It is about these two "
        "brews; another pair from the same recipes may differ. It is one taster's; others may "
        "taste it differently.",
    ),
    (
        Record("triangle", CUPS, MORNING, 12, 20, taster="Juniper"),
        "open",
        "Juniper picked the odd cup 12 times out of 20; guessing gets about 7. That is not enough"
        " yet to say that Juniper can tell these two cups apart, nor that they are close enough: "
        "the test goes on.",
        "It says neither that there is a difference between these two cups nor that there is none.",
    ),
    (
        Record("triangle", CUPS, MORNING, 10, 30),
        "close enough",
        "You picked the odd cup 10 times out of 30; guessing gets about 10. A difference of the "
        "size set beforehand, a large one noticed in at least 2 trials of 5, would rarely bring "
        "so few: these two cups are close enough.",
        "It does not say that there is no difference: a small or medium one is not ruled out. It "
        "is about these two brews; another pair from the same recipes may differ. It is one "
        "taster's; others may taste it differently.",
    ),
    (
        Record("triangle", CUPS, MORNING, 12, 20, ended="stopped"),
        "stopped",
        "You picked the odd cup 12 times out of 20; guessing gets about 7. It was stopped before "
        "its rule was met, so there is no verdict.",
        "It says neither that there is a difference between these two cups nor that there is none.",
    ),
    (
        Record("triangle", CUPS, MORNING, 0, 0, ended="stopped"),
        "stopped",
        "Stopped before the first trial: nothing is known.",
        "It says neither that there is a difference between these two cups nor that there is none.",
    ),
    (
        Record("triangle", CUPS, THIRTY, 15, 30),
        "shown",
        "You picked the odd cup 15 times out of 30; guessing gets about 10. That is enough to say"
        " that you can tell these two cups apart.",
        "It does not say which is better, nor how large the difference is. It is about these two "
        "brews; another pair from the same recipes may differ. It is one taster's; others may "
        "taste it differently.",
    ),
    (
        Record("triangle", CUPS, THIRTY, 10, 30),
        "undecided",
        "You picked the odd cup 10 times out of 30; guessing gets about 10. That is not enough to"
        " say that you can tell these two cups apart.",
        "It does not say that there is no difference. It is about these two brews; another pair "
        "from the same recipes may differ. It is one taster's; others may taste it differently.",
    ),
    (
        Record("triangle", CUPS, THIRTY, 6, 22),
        "undecided",
        "You picked the odd cup 6 times out of 22; guessing gets about 7. That is not enough to "
        "say that you can tell these two cups apart, and the trials left cannot change it.",
        "It does not say that there is no difference. It is about these two brews; another pair "
        "from the same recipes may differ. It is one taster's; others may taste it differently.",
    ),
    (
        Record("triangle", CUPS, THIRTY, 6, 12),
        "open",
        "You picked the odd cup 6 times out of 12; guessing gets about 4. That is not enough yet "
        "to say that you can tell these two cups apart: the test goes on.",
        "It says neither that there is a difference between these two cups nor that there is none.",
    ),
    (
        Record("triangle", CUPS, EITHER_END, 11, 30),
        "close enough",
        "You picked the odd cup 11 times out of 30; guessing gets about 10. A difference of the "
        "size set beforehand, a medium one noticed in at least 3 trials of 10, would rarely bring"
        " so few: these two cups are close enough.",
        "It does not say that there is no difference: a small one is not ruled out. It is about "
        "these two brews; another pair from the same recipes may differ. It is one taster's; "
        "others may taste it differently.",
    ),
    (
        Record("triangle", CUPS, EITHER_END, 13, 30),
        "undecided",
        "You picked the odd cup 13 times out of 30; guessing gets about 10. That is not enough to"
        " say that you can tell these two cups apart, nor that they are close enough.",
        "It does not say that there is no difference. It is about these two brews; another pair "
        "from the same recipes may differ. It is one taster's; others may taste it differently.",
    ),
    (
        Record("triangle", CUPS, EITHER_END, 9, 12),
        "open",
        "You picked the odd cup 9 times out of 12; guessing gets about 4. That is not enough yet "
        "to say that you can tell these two cups apart, nor that they are close enough: the test "
        "goes on.",
        "It says neither that there is a difference between these two cups nor that there is none.",
    ),
    (
        Record("triangle", CUPS, EITHER_END, 10, 30, ended="undecided"),
        "undecided",
        "You picked the odd cup 10 times out of 30; guessing gets about 10. That is not enough to"
        " say that you can tell these two cups apart, nor that they are close enough.",
        "It does not say that there is no difference. It is about these two brews; another pair "
        "from the same recipes may differ. It is one taster's; others may taste it differently.",
    ),
    (
        Record(
            "tetrad", CUPS, FixedNumber(1 / 3, 12, p_d=0.4, panel=True), 8, 12, "one trial each"
        ),
        "shown",
        "8 of 12 tasters found the cup that goes with the first; guessing gets about 4. That is "
        "enough to say that people like these, taken together, can tell these two cups apart.",
        "It does not say which is better, nor how large the difference is. It is about these two "
        "brews; another pair from the same recipes may differ. Each taster gave one answer: it is"
        " about people like these taken together.",
    ),
    (
        Record("triangle", CUPS, MORNING, 18, 30, "several trials each"),
        "shown",
        "These tasters picked the odd cup 18 times out of 30; guessing gets about 10. That is "
        "enough to say that these tasters, taken together, can tell these two cups apart.",
        "It does not say which is better, nor how large the difference is. It is about these two "
        "brews; another pair from the same recipes may differ. Several answers a taster are "
        "pooled: it is about these tasters only.",
    ),
    (
        Record("triangle", CUPS, StepByStep(1 / 3, 0.25, 0.05, 0.20), 10, 14),
        "shown",
        "You picked the odd cup 10 times out of 14; guessing gets about 5. That is enough to say "
        "that you can tell these two cups apart.",
        "It does not say which is better, nor how large the difference is. It is about these two "
        "brews; another pair from the same recipes may differ. It is one taster's; others may "
        "taste it differently.",
    ),
    (
        Record("duo-trio", CUPS, StepByStep(0.5, 0.40, 0.10, 0.10), 4, 11),
        "close enough",
        "You picked the cup that is the same as the reference 4 times out of 11; guessing gets "
        "about 6. A difference of the size set beforehand, a large one noticed in at least 2 "
        "trials of 5, would rarely bring so few: these two cups are close enough.",
        "It does not say that there is no difference: a small or medium one is not ruled out. It "
        "is about these two brews; another pair from the same recipes may differ. It is one "
        "taster's; others may taste it differently.",
    ),
    (
        Record("duo-trio", WAYS, EveryMorning(0.5, 0.2), 40, 80, taster="Juniper"),
        "open",
        "Juniper picked the cup that is the same as the reference 40 times out of 80; guessing "
        "gets about 40. That is not enough yet to say that Juniper can tell these two ways of "
        "brewing apart, nor that they are close enough: the test goes on.",
        "It says neither that there is a difference between these two ways of brewing nor that "
        "there is none.",
    ),
    (
        Record("paired", WAYS, COIN, 8, 8, attribute="bitterness"),
        "shown",
        "You picked B as the cup with more bitterness 8 times out of 8; guessing gets about 4. "
        "That is enough to say that B has more bitterness.",
        "It does not say which is better, nor how large the difference is. It is about these ways"
        " of brewing as done here, with this bag. It is one taster's; others may taste it "
        "differently.",
    ),
    (
        Record("paired", WAYS, COIN, 0, 8, attribute="bitterness"),
        "shown",
        "You picked A as the cup with more bitterness 8 times out of 8, though B was named; "
        "guessing gets about 4. That is enough to say it the other way round: A has more "
        "bitterness, not B.",
        "It does not say which is better, nor how large the difference is. It is about these ways"
        " of brewing as done here, with this bag. It is one taster's; others may taste it "
        "differently.",
    ),
    (
        Record("paired", WAYS, COIN, 0, 3, attribute="bitterness", taster="Juniper"),
        "open",
        "Juniper picked B as the cup with more bitterness 0 times out of 3; guessing gets about "
        "2. That is not enough yet to say that either cup has more bitterness, nor that A and B "
        "are close enough: the test goes on.",
        "It says neither that there is a difference in bitterness between these two ways of "
        "brewing nor that there is none.",
    ),
    (
        Record("paired", CUPS, COIN, 15, 30, attribute="body", more="A"),
        "open",
        "You picked A as the cup with more body 15 times out of 30; guessing gets about 15. That "
        "is not enough yet to say that either cup has more body, nor that A and B are close "
        "enough: the test goes on.",
        "It says neither that there is a difference in body between these two cups nor that there"
        " is none.",
    ),
    (
        Record("paired", CUPS, COIN, 24, 48, attribute="body", more="A"),
        "close enough",
        "You picked A as the cup with more body 24 times out of 48; guessing gets about 24. A "
        "difference of the size set beforehand, a large one noticed in at least 2 trials of 5, "
        "would rarely leave it so even, whichever cup had more: these two cups are close enough "
        "in body.",
        "It does not say that there is no difference: a small or medium one is not ruled out. It "
        "is about these two brews; another pair from the same recipes may differ. It is one "
        "taster's; others may taste it differently.",
    ),
    (
        Record("paired", CUPS, COIN, 0, 3, attribute="body", ended="close enough"),
        "undecided",
        "You picked B as the cup with more body 0 times out of 3; guessing gets about 2. It ended"
        " as close enough by an older rule, which looked one way only and did not rule out the "
        "other. So that is not said any more.",
        "It does not say that there is no difference. It is about these two brews; another pair "
        "from the same recipes may differ. It is one taster's; others may taste it differently.",
    ),
    (
        Record("paired", CUPS, COIN, 7, 7, attribute="body", ended="shown"),
        "shown",
        "You picked B as the cup with more body 7 times out of 7; guessing gets about 4. That is "
        "enough to say that B has more body.",
        "It does not say which is better, nor how large the difference is. It is about these two "
        "brews; another pair from the same recipes may differ. It is one taster's; others may "
        "taste it differently.",
    ),
    (
        Record("paired", CUPS, FixedNumber(0.5, 30, p_d=0.3), 9, 30, attribute="body", more="A"),
        "shown",
        "You picked B as the cup with more body 21 times out of 30, though A was named; guessing "
        "gets about 15. That is enough to say it the other way round: B has more body, not A.",
        "It does not say which is better, nor how large the difference is. It is about these two "
        "brews; another pair from the same recipes may differ. It is one taster's; others may "
        "taste it differently.",
    ),
    (
        Record("paired", CUPS, FixedNumber(0.5, 30, p_d=0.4), 15, 30, attribute="body"),
        "close enough",
        "You picked B as the cup with more body 15 times out of 30; guessing gets about 15. A "
        "difference of the size set beforehand, a large one noticed in at least 2 trials of 5, "
        "would rarely leave it so even, whichever cup had more: these two cups are close enough "
        "in body.",
        "It does not say that there is no difference: a small or medium one is not ruled out. It "
        "is about these two brews; another pair from the same recipes may differ. It is one "
        "taster's; others may taste it differently.",
    ),
    (
        Record(
            "paired",
            CUPS,
            FixedNumber(0.5, 12, p_d=0.4, panel=True),
            1,
            12,
            "one trial each",
            attribute="body",
        ),
        "shown",
        "11 of 12 tasters picked A as the cup with more body, though B was named; guessing gets "
        "about 6. That is enough to say it the other way round: A has more body, not B.",
        "It does not say which is better, nor how large the difference is. It is about these two "
        "brews; another pair from the same recipes may differ. Each taster gave one answer: it is"
        " about people like these taken together.",
    ),
    (
        Record("paired", CUPS, StepByStep(0.5, 0.4), 1, 14, attribute="body"),
        "shown",
        "You picked A as the cup with more body 13 times out of 14, though B was named; guessing "
        "gets about 7. That is enough to say it the other way round: A has more body, not B.",
        "It does not say which is better, nor how large the difference is. It is about these two "
        "brews; another pair from the same recipes may differ. It is one taster's; others may "
        "taste it differently.",
    ),
    (
        Record("paired", CUPS, StepByStep(0.5, 0.4), 20, 40, attribute="body"),
        "close enough",
        "You picked B as the cup with more body 20 times out of 40; guessing gets about 20. A "
        "difference of the size set beforehand, a large one noticed in at least 2 trials of 5, "
        "would rarely leave it so even, whichever cup had more: these two cups are close enough "
        "in body.",
        "It does not say that there is no difference: a small or medium one is not ruled out. It "
        "is about these two brews; another pair from the same recipes may differ. It is one "
        "taster's; others may taste it differently.",
    ),
    (
        Record("three-cup", CUPS, MORNING, 12, 14, attribute="bitterness", more="A"),
        "shown",
        "You picked A as the cup with the most bitterness 12 times out of 14; guessing gets about"
        " 5. That is enough to say that A has more bitterness.",
        "It does not say which is better, nor how large the difference is. It is about these two "
        "brews; another pair from the same recipes may differ. It is one taster's; others may "
        "taste it differently.",
    ),
    (
        Record("three-cup", CUPS, MORNING, 0, 14, attribute="bitterness", more="A"),
        "open",
        "You picked A as the cup with the most bitterness 0 times out of 14; guessing gets about "
        "5. That is not enough yet to say that either cup has more bitterness, nor that A and B "
        "are close enough: the test goes on.",
        "It says neither that there is a difference in bitterness between these two cups nor that"
        " there is none.",
    ),
    (
        Record("A-not-A", CUPS, COIN, 13, 14),
        "shown",
        "You said correctly 13 times out of 14 whether the cup was A; guessing gets about 7. That"
        " is enough to say that you can tell whether a cup is A.",
        "It does not say which is better, nor how large the difference is. It is about these two "
        "brews; another pair from the same recipes may differ. It is one taster's; others may "
        "taste it differently.",
    ),
    (
        Record("A-not-A", CUPS, COIN, 10, 20),
        "open",
        "You said correctly 10 times out of 20 whether the cup was A; guessing gets about 10. "
        "That is not enough yet to say that you can tell whether a cup is A, nor that A and B are"
        " close enough: the test goes on.",
        "It says neither that there is a difference between these two cups nor that there is none.",
    ),
    (
        Record("A-not-A", WAYS, FixedNumber(0.5, 40, p_d=0.4), 22, 40, taster="Juniper"),
        "close enough",
        "Juniper said correctly 22 times out of 40 whether the cup was A; guessing gets about 20."
        " A difference of the size set beforehand, a large one noticed in at least 2 trials of 5,"
        " would rarely leave it so even: these two ways of brewing are close enough.",
        "It does not say that there is no difference: a small or medium one is not ruled out. It "
        "is about these ways of brewing as done here, with this bag. It is one taster's; others "
        "may taste it differently.",
    ),
    (
        Record("same-different", CUPS, COIN, 16, 19),
        "shown",
        "You said correctly 16 times out of 19 whether the two cups were the same; guessing gets "
        "about 10. That is enough to say that you can tell these two cups apart.",
        "It does not say which is better, nor how large the difference is. It is about these two "
        "brews; another pair from the same recipes may differ. It is one taster's; others may "
        "taste it differently.",
    ),
    (
        Record("same-different", CUPS, COIN, 11, 30, ended="stopped"),
        "close enough",
        "You said correctly 11 times out of 30 whether the two cups were the same; guessing gets "
        "about 15. A difference of the size set beforehand, a large one noticed in at least 2 "
        "trials of 5, would rarely bring so few: these two cups are close enough.",
        "It does not say that there is no difference: a small or medium one is not ruled out. It "
        "is about these two brews; another pair from the same recipes may differ. It is one "
        "taster's; others may taste it differently.",
    ),
    (
        Record(
            "same-different", CUPS, FixedNumber(0.5, 24, p_d=0.4), 15, 24, "several trials each"
        ),
        "undecided",
        "These tasters said correctly 15 times out of 24 whether the two cups were the same; "
        "guessing gets about 12. That is not enough to say that these tasters, taken together, "
        "can tell these two cups apart, nor that they are close enough.",
        "It does not say that there is no difference. It is about these two brews; another pair "
        "from the same recipes may differ. Several answers a taster are pooled: it is about these"
        " tasters only.",
    ),
    (
        Record(
            "A-not-A", CUPS, FixedNumber(0.5, 20, p_d=0.4, panel=True), 16, 20, "one trial each"
        ),
        "shown",
        "16 of 20 tasters said correctly whether the cup was A; guessing gets about 10. That is "
        "enough to say that people like these, taken together, can tell whether a cup is A.",
        "It does not say which is better, nor how large the difference is. It is about these two "
        "brews; another pair from the same recipes may differ. Each taster gave one answer: it is"
        " about people like these taken together.",
    ),
    (
        Record("A-not-A", CUPS, COIN, 0, 8, taster="Juniper"),
        "shown",
        "Juniper said correctly 0 times out of 8 whether the cup was A; guessing gets about 4. "
        "That is enough to say that Juniper can tell the cups apart, but takes A for the other.",
        "It does not say which is better, nor how large the difference is. It is about these two "
        "brews; another pair from the same recipes may differ. It is one taster's; others may "
        "taste it differently.",
    ),
]


def name(record):
    return f"{record.correct} of {record.n}, {record.method}, {type(record.rule).__name__}"


@pytest.mark.parametrize(
    ("record", "state", "sentence", "not_said"), REVIEWED, ids=[name(row[0]) for row in REVIEWED]
)
def test_sentences_reviewed_line_by_line(record, state, sentence, not_said):
    found = verdict(record)
    assert found.state == state
    assert found.sentence == sentence
    assert found.not_said == not_said


def test_every_method_has_its_sentences():
    assert len(REVIEWED) >= 24
    methods = set(get_args(Discrimination))
    assert {row[0].method for row in REVIEWED} >= methods
    assert set(DID) == methods
    assert set(CAN) == {method for method, facts in METHOD_FACTS.items() if not facts.directed}


SUMS = [
    (
        Record("triangle", CUPS, MORNING, 12, 20),
        "Evidence for a difference: 7.7. The line is at 20, which guessing alone would ever reach "
        "in at most 1 test in 20.",
        "Evidence for close enough: 0.23. The line is at 10, which a difference perceived in 40 % "
        "of trials or more would ever reach in at most 1 test in 10.",
    ),
    (
        Record("paired", CUPS, COIN, 0, 8, attribute="body"),
        "Evidence for a difference, either way round: 28. The line is at 20, which guessing alone "
        "would ever reach in at most 1 test in 20.",
        "Evidence for close enough: 0.11. The line is at 10, which a difference perceived in 40 % "
        "of trials or more, either way round, would ever reach in at most 1 test in 10.",
    ),
    (
        Record("triangle", CUPS, EITHER_END, 6, 12),
        "15 or more of 30 show a difference; guessing alone gets that in 4.3 tests of 100.",
        "11 or fewer of 30 are close enough; a difference perceived in 30 % of trials gets that in "
        "at most 10 tests of 100.",
        "It is read after 30 trials, or as soon as the end is certain.",
    ),
    (
        Record("paired", CUPS, FixedNumber(0.5, 30, p_d=0.4), 15, 30, attribute="body"),
        "21 or more of 30, or 9 or fewer, show a difference; guessing alone gets that in 4.3 tests "
        "of 100.",
        "13 to 17 of 30 are close enough; a difference perceived in 40 % of trials gets that in at "
        "most 10 tests of 100.",
    ),
    (
        Record("duo-trio", CUPS, StepByStep(0.5, 0.4), 5, 12),
        "After 12 trials 11 or more right would show a difference; 0 to 4 would be close enough.",
        "Guessing alone crosses a line of difference in about 5 tests of 100; a difference "
        "perceived in 40 % of trials passes for close enough in about 10.",
    ),
]


@pytest.mark.parametrize(("record", "sums"), [(row[0], row[1:]) for row in SUMS])
def test_the_sums_behind_a_sentence(record, sums):
    assert verdict(record).sums == sums


def test_figures_in_the_sums_worked_out_another_way():
    assert f"{100 * binom.sf(14, 30, 1 / 3):.2g}" == "4.3"
    assert f"{100 * (binom.sf(20, 30, 1 / 2) + binom.cdf(9, 30, 1 / 2)):.2g}" == "4.3"
    assert binom.cdf(11, 30, 1 / 3 + 0.3 * 2 / 3) <= 0.10 < binom.cdf(12, 30, 1 / 3 + 0.3 * 2 / 3)
    assert pytest.approx(28.4, abs=0.1) == 2**8 / 9  # 2^n B(1 + s, 1 + n - s) at s = 0


FORBIDDEN = re.compile(
    r"\b(prove[ds]?|proof|certain(ly)?|significant(ly)?|obvious(ly)?|definite(ly)?|identical|"
    r"no difference is shown|cause[ds]?|because of)\b",
    re.IGNORECASE,
)


@pytest.mark.parametrize("claim", [CUPS, WAYS])
@pytest.mark.parametrize("rule", [MORNING, THIRTY, EITHER_END, StepByStep(1 / 3, 0.4)], ids=str)
def test_no_record_is_given_more_than_it_bears(rule, claim):
    for n in range(31):
        for correct in range(n + 1):
            found = verdict(Record("triangle", claim, rule, correct, n))
            text = f"{found.sentence} {found.not_said}"
            assert not FORBIDDEN.search(text)
            assert not re.search(r"\d{3}|\d\.\d", text)  # figures stand in the sums
            assert ("That is enough to say" in found.sentence) == (found.state == "shown")
            if found.state == "shown":
                assert binom.sf(correct - 1, n, 1 / 3) <= 0.05
                assert "does not say which is better" in found.not_said
            else:
                assert "neither" in found.not_said or "no difference" in found.not_said
            if found.state in ("shown", "close enough", "undecided"):
                assert ("these two brews" in text) == (claim == CUPS)
            figures = [text.replace("of 100", "") for text in found.sums]
            assert not any(re.search(r"[1-9]\d\d|[1-9]\d*\.\d\d", text) for text in figures)


def test_one_right_answer_shows_nothing_in_any_method():
    for method, guess in (("triangle", 1 / 3), ("duo-trio", 0.5), ("paired", 0.5)):
        for rule in (EveryMorning(guess), FixedNumber(guess, 18), StepByStep(guess, 0.4)):
            assert verdict(Record(method, CUPS, rule, 1, 1)).state == "open"


@pytest.mark.parametrize("panel", ["one taster", "one trial each", "several trials each"])
@pytest.mark.parametrize("method", ["paired", "three-cup"])
def test_fault_1_the_other_way_round_is_found_and_never_close_enough(method, panel):
    """A named direction that is wrong: close enough from 0 of 3 on, in the old code."""
    guess = float(METHOD_FACTS[method].guess)
    rules = [EveryMorning(guess), StepByStep(guess, 0.4), FixedNumber(guess, 24, p_d=0.4)]
    for rule in rules:
        states = []
        for n in range(1, 25):
            found = verdict(Record(method, CUPS, rule, 0, n, panel, "body", more="A"))
            states.append(found.state)
            if found.state != "open":
                assert found.sentence.endswith("it the other way round: B has more body, not A.")
                assert (found.way, found.other_way) == ("B", True)
                break
        assert states[-1] == "shown"


def test_fault_1_a_taken_for_the_other_cup_is_no_close_enough_either():
    for rule in (COIN, StepByStep(0.5, 0.4), FixedNumber(0.5, 24, p_d=0.4)):
        states = [verdict(Record("A-not-A", CUPS, rule, 0, n)).state for n in range(1, 25)]
        assert set(states) == {"open", "shown"}
        assert states[2] == "open"


def test_the_way_is_told_when_it_is_the_one_named():
    found = verdict(Record("paired", CUPS, COIN, 8, 8, attribute="body", more="A"))
    assert (found.way, found.other_way) == ("A", False)
    assert verdict(Record("triangle", CUPS, MORNING, 4, 4)).way is None
    assert verdict(Record("paired", CUPS, COIN, 4, 8, attribute="body")).way is None


def test_a_directed_record_is_read_both_ways_whatever_rule_it_is_given():
    assert Record("paired", CUPS, EveryMorning(0.5), 0, 8).rule.both_ways
    assert Record("A-not-A", CUPS, EveryMorning(0.5), 0, 8).rule.both_ways
    assert not Record("triangle", CUPS, EveryMorning(1 / 3, both_ways=True), 0, 8).rule.both_ways


def test_an_older_end_is_told_as_such():
    shown = verdict(Record("paired", CUPS, COIN, 7, 7, attribute="body", ended="shown"))
    assert shown.cautions == (
        "It ended so by the rule it was planned with, which looked one way only.",
    )
    undecided = verdict(Record("triangle", CUPS, EITHER_END, 10, 30, ended="undecided"))
    assert undecided.cautions == (
        "It ended so by the rule it was planned with, which had no close enough.",
    )
    # What no rule of before would have ended so is not believed.
    assert verdict(Record("paired", CUPS, COIN, 4, 8, ended="shown")).state == "open"


@pytest.mark.parametrize(
    ("p_d", "name"),
    [(0.2, "small"), (0.2499, "small"), (0.25, "medium"), (0.35, "medium"), (0.36, "large")],
)
def test_sizes_are_named_as_iso_4120_does(p_d, name):
    assert size_of(p_d) == name
    text = verdict(Record("triangle", CUPS, EveryMorning(1 / 3, p_d), 60, 200)).sentence
    assert f"a {name} one noticed in at least" in text


def test_close_enough_leaves_smaller_sizes_open():
    for p_d, left in ((0.2, "a smaller one"), (0.3, "a small one"), (0.4, "a small or medium one")):
        found = verdict(Record("triangle", CUPS, EveryMorning(1 / 3, p_d), 60, 200))
        assert found.state == "close enough"
        assert f"no difference: {left} is not ruled out" in found.not_said


def test_fewer_right_than_guessing_gets_a_caution():
    (said,) = verdict(Record("triangle", CUPS, MORNING, 0, 20)).cautions
    assert said == "Fewer are right than guessing gets: look for a mix-up of codes or keys."
    assert verdict(Record("triangle", CUPS, MORNING, 10, 30)).cautions == ()
    assert verdict(Record("paired", CUPS, COIN, 1, 14)).cautions == ()  # that is a finding


def test_lost_marks_may_be_right_or_wrong():
    assert verdict(Record("paired", CUPS, COIN, 0, 8, attribute="body")).state == "shown"
    lost = verdict(Record("paired", CUPS, COIN, 0, 8, attribute="body", lost=1))
    assert lost.state == "open"
    assert verdict(Record("triangle", CUPS, MORNING, 10, 30, lost=4)).state == "open"


def test_stopping_does_not_take_back_what_was_shown():
    assert verdict(Record("triangle", CUPS, MORNING, 4, 4, ended="stopped")).state == "shown"


def test_impossible_counts_are_refused():
    for correct, n, lost in ((3, 2, 0), (2, 2, 1)):
        with pytest.raises(ValueError, match="between 0"):
            verdict(Record("triangle", CUPS, MORNING, correct, n, lost=lost))
