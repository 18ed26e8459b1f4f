"""Each sentence below was read line by line: true, and claiming no more than the record bears."""

import re
from math import log

import pytest
from scipy.integrate import quad
from scipy.stats import beta, binom

from app.sensory.blind.record import Record
from app.sensory.blind.sequential import EveryMorning, FixedNumber, StepByStep
from app.sensory.blind.verdict import verdict

CUPS, WAYS = "these cups", "these ways of brewing"
MORNING, THIRTY = EveryMorning(1 / 3), FixedNumber(1 / 3, 30)
ONE_PAIR_ONE_TASTER = (
    " It is about these two brews; another pair from the same recipes may differ."
    " It is one taster's; others may taste it differently."
)
NEITHER = "It says neither that there is a difference between these two cups nor that there is none"

REVIEWED = [
    (
        Record("triangle", CUPS, MORNING, 0, 0),
        "open",
        "No trial yet: nothing is known.",
        f"{NEITHER}.",
    ),
    (
        Record("triangle", CUPS, MORNING, 1, 1),
        "open",
        "1 of 1 right: open, since the evidence for a difference is 2 with its line at 20, and "
        "for close enough 0.5 with its line at 10.",
        f"{NEITHER}: in the long run anything from 2 % to 100 % may be right, and guessing gets "
        "33 %.",
    ),
    (
        Record("triangle", CUPS, MORNING, 3, 3),
        "open",
        "3 of 3 right: open, since the evidence for a difference is 10 with its line at 20, and "
        "for close enough 0.25 with its line at 10.",
        f"{NEITHER}: in the long run anything from 23 % to 100 % may be right, and guessing gets "
        "33 %.",
    ),
    (
        Record("triangle", CUPS, MORNING, 4, 4),
        "shown",
        "4 of 4 right: a difference between these two cups is shown, since guessing alone would "
        "ever bring the evidence (24.2 now) to 20 in at most 1 test in 20.",
        "It does not say which is better, nor how large the difference is, beyond its being "
        f"perceived in at least 3 % of trials.{ONE_PAIR_ONE_TASTER}",
    ),
    (
        Record("triangle", CUPS, MORNING, 12, 20),
        "open",
        "12 of 20 right: open, since the evidence for a difference is 7.67 with its line at 20, "
        "and for close enough 0.231 with its line at 10.",
        f"{NEITHER}: in the long run anything from 28 % to 87 % may be right, and guessing gets "
        "33 %.",
    ),
    (
        Record("triangle", CUPS, MORNING, 15, 30),
        "open",
        "15 of 30 right: open, since the evidence for a difference is 1.91 with its line at 20, "
        "and for close enough 0.598 with its line at 10.",
        f"{NEITHER}: in the long run anything from 25 % to 75 % may be right, and guessing gets "
        "33 %.",
    ),
    (
        Record("triangle", CUPS, MORNING, 10, 30),
        "close enough",
        "10 of 30 right: close enough, since a difference perceived in 40 % or more of trials, "
        "the size set beforehand, would ever look this small in at most 1 test in 10.",
        "It does not say that there is no difference: one perceived in up to 35 % of trials is "
        f"not ruled out.{ONE_PAIR_ONE_TASTER}",
    ),
    (
        Record("triangle", CUPS, THIRTY, 15, 30),
        "shown",
        "15 of 30 right: a difference between these two cups is shown, since guessing alone gets "
        "15 or more of 30 in only 4.3 tests of 100.",
        "It does not say which is better, nor how large the difference is, beyond its being "
        f"perceived in at least 1 % of trials.{ONE_PAIR_ONE_TASTER}",
    ),
    (
        Record("triangle", CUPS, THIRTY, 10, 30),
        "undecided",
        "10 of 30 right: undecided, since 15 were needed to show a difference between these two "
        "cups.",
        "It does not say that there is no difference: one perceived in up to 25 % of trials is "
        f"not ruled out.{ONE_PAIR_ONE_TASTER}",
    ),
    (
        Record("triangle", CUPS, THIRTY, 6, 22),
        "undecided",
        "6 of 22 right: undecided, since the 15 of 30 needed can no longer be reached.",
        "It does not say that there is no difference: one perceived in up to 45 % of trials is "
        f"not ruled out.{ONE_PAIR_ONE_TASTER}",
    ),
    (
        Record("triangle", CUPS, THIRTY, 6, 12),
        "open",
        "6 of 12 right: open, since 15 of 30 are needed and can still be reached.",
        f"{NEITHER}: in the long run anything from 15 % to 85 % may be right, and guessing gets "
        "33 %.",
    ),
    (
        Record("paired", WAYS, EveryMorning(0.5), 8, 8, attribute="bitterness"),
        "shown",
        "8 of 8 right: a difference in bitterness between these two ways of brewing is shown, "
        "since guessing alone would ever bring the evidence (56.8 now) to 20 in at most 1 test "
        "in 20.",
        "It does not say which is better, nor how large the difference is, beyond its being "
        "perceived in at least 16 % of trials. It is about these ways of brewing as done here, "
        "with this bag. It is one taster's; others may taste it differently.",
    ),
    (
        Record("triangle", CUPS, StepByStep(1 / 3, 0.25, 0.05, 0.20), 10, 14),
        "shown",
        "10 of 14 right: a difference between these two cups is shown, since the upper line is "
        "crossed, which guessing alone does in about 5 tests of 100.",
        "It does not say which is better, nor how large the difference is, beyond its being "
        f"perceived in at least 3 % of trials.{ONE_PAIR_ONE_TASTER}",
    ),
    (
        Record("duo-trio", CUPS, StepByStep(0.5, 0.40, 0.10, 0.10), 4, 11),
        "close enough",
        "4 of 11 right: close enough, since a difference perceived in 40 % or more of trials, the "
        "size set beforehand, would cross the lower line in about 10 tests of 100.",
        "It does not say that there is no difference: a small one is not ruled out."
        f"{ONE_PAIR_ONE_TASTER}",
    ),
    (
        Record("triangle", CUPS, MORNING, 12, 20, stopped=True),
        "stopped",
        "12 of 20 right: stopped before its rule was met, so there is no verdict.",
        f"{NEITHER}: in the long run anything from 28 % to 87 % may be right, and guessing gets "
        "33 %.",
    ),
    (
        Record("triangle", CUPS, MORNING, 18, 30, panel="one trial each"),
        "shown",
        "18 of 30 right: a difference between these two cups is shown, since guessing alone would "
        "ever bring the evidence (28.1 now) to 20 in at most 1 test in 20.",
        "It does not say which is better, nor how large the difference is, beyond its being "
        "perceived by at least 2 % of such tasters. It is about these two brews; another pair "
        "from the same recipes may differ. Each taster gave one answer: it is about people like "
        "these taken together.",
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


def test_figures_in_the_sentences_worked_out_another_way():
    gain = quad(lambda p: (3 * p) ** 18 * (1.5 * (1 - p)) ** 12, 1 / 3, 1)[0] / (2 / 3)
    assert f"{gain:.3g}" == "28.1"
    assert f"{100 * binom.sf(14, 30, 1 / 3):.2g}" == "4.3"
    low = beta.ppf(0.05, 15, 16)  # 15 of 30, one-sided 95 %
    assert f"{100 * (low - 1 / 3) / (2 / 3):.0f}" == "1"
    high = beta.ppf(0.95, 11, 20)  # 10 of 30
    assert f"{100 * (high - 1 / 3) / (2 / 3):.0f}" == "25"
    most = beta.ppf(0.95, 15, 16)  # 6 of 22 with all 8 left right: 14 of 30
    assert f"{100 * (most - 1 / 3) / (2 / 3):.0f}" == "45"
    # 10 of 30: the rate at which the bet on everything below has just won tenfold
    rate = 1 / 3 + 0.35 * 2 / 3
    bet = quad(lambda p: (p / rate) ** 10 * ((1 - p) / (1 - rate)) ** 20, 0, rate)[0] / rate
    assert log(bet) == pytest.approx(log(10), abs=0.1)


FORBIDDEN = re.compile(
    r"\b(prove[ds]?|proof|certain(ly)?|significant(ly)?|obvious(ly)?|definite(ly)?|identical|"
    r"no difference is shown|cause[ds]?|because of)\b",
    re.IGNORECASE,
)


@pytest.mark.parametrize("claim", [CUPS, WAYS])
@pytest.mark.parametrize("rule", [MORNING, THIRTY, StepByStep(1 / 3, 0.4)], ids=str)
def test_no_record_is_given_more_than_it_bears(rule, claim):
    for n in range(31):
        for correct in range(n + 1):
            found = verdict(Record("triangle", claim, rule, correct, n))
            text = f"{found.sentence} {found.not_said}"
            assert not FORBIDDEN.search(text)
            assert ("is shown" in found.sentence) == (found.state == "shown")
            if found.state == "shown":
                assert binom.sf(correct - 1, n, 1 / 3) <= 0.05
                assert "does not say which is better" in found.not_said
            else:
                assert "neither" in found.not_said or "not ruled out" in found.not_said
            if found.state in ("shown", "close enough", "undecided"):
                assert ("these two brews" in text) == (claim == CUPS)


def test_one_right_answer_shows_nothing_in_any_method():
    for method, guess in (("triangle", 1 / 3), ("duo-trio", 0.5), ("paired", 0.5)):
        for rule in (EveryMorning(guess), FixedNumber(guess, 18), StepByStep(guess, 0.4)):
            assert verdict(Record(method, CUPS, rule, 1, 1)).state == "open"


def test_close_enough_never_leaves_more_than_the_size_set_beforehand():
    for n in range(1, 60):
        for correct in range(n + 1):
            found = verdict(Record("triangle", CUPS, MORNING, correct, n))
            if found.state == "close enough" and (
                left := re.search(r"up to (\d+) %", found.not_said)
            ):
                assert int(left[1]) <= 40


def test_fewer_right_than_guessing_gets_a_caution():
    (said,) = verdict(Record("paired", CUPS, EveryMorning(0.5), 1, 14)).cautions
    assert said == (
        "Fewer are right than guessing gets: they may differ the other way round, which takes a "
        "new test named so beforehand."
    )
    (said,) = verdict(Record("triangle", CUPS, MORNING, 0, 20)).cautions
    assert said == "Fewer are right than guessing gets: look for a mix-up of codes or keys."
    assert verdict(Record("triangle", CUPS, MORNING, 10, 30)).cautions == ()


def test_a_named_direction_stays_in_the_sentence():
    found = verdict(Record("paired", CUPS, EveryMorning(0.5, 0.4), 12, 30))
    assert (
        "a difference in the direction named perceived in 40 % or more of trials" in found.sentence
    )


def test_stopped_before_the_first_trial():
    found = verdict(Record("triangle", CUPS, MORNING, 0, 0, stopped=True))
    assert (found.state, found.sentence) == (
        "stopped",
        "Stopped before the first trial: nothing is known.",
    )


def test_stopping_does_not_take_back_what_was_shown():
    assert verdict(Record("triangle", CUPS, MORNING, 4, 4, stopped=True)).state == "shown"


def test_impossible_counts_are_refused():
    with pytest.raises(ValueError, match="between 0"):
        verdict(Record("triangle", CUPS, MORNING, 3, 2))
