"""What else differs between two groups, against statsmodels and planted cases."""

import numpy as np
import pytest
import statsmodels.api as sm

from app.sensory.scores.apart import Scored, apart, by_day
from app.sensory.scores.balance import Thing, beside, scored_alike


def read(scores, *things, alpha=0.05):
    """The rows of `things` for cups (day, in A, score)."""
    cups = [Scored(*one) for one in scores]
    days = by_day(cups)
    found = apart(days, alpha)
    return found, beside(
        [Thing(*thing) for thing in things], [one[:2] for one in cups], days, found
    )


def by_turns(n, effect, noise=0.6, seed=1):
    rng = np.random.default_rng(seed)
    return [
        (day, day % 2 == 0, 6 + effect * (day % 2 == 0) + rng.normal(0, noise)) for day in range(n)
    ]


def test_what_wanders_by_itself_is_alike():
    scores = by_turns(40, 1.0)
    temperature = [92 + day // 2 % 3 for day in range(40)]
    found, (row,) = read(scores, ("water temperature", temperature, 1.0))
    assert found.higher == "A"
    assert (row.verdict, row.low) == ("alike", None)


def test_within_the_tolerance_is_alike_however_many_days():
    scores = by_turns(200, 1.0)
    dose = [14.0 + 0.1 * (day % 2) for day in range(200)]
    _, (row,) = read(scores, ("dose", dose, 0.2))
    assert row.verdict == "alike"
    _, (row,) = read(scores, ("dose", dose, 0.05))
    assert row.verdict == "could explain"


def test_what_goes_with_the_groups_could_explain_it():
    scores = by_turns(40, 1.0)
    grind = [18.0 if in_a else 21.0 for _, in_a, _ in scores]
    bag = ["1" if in_a else "2" for _, in_a, _ in scores]
    _, rows = read(scores, ("grinder setting", grind), ("bag", bag))
    assert [row.verdict for row in rows] == ["could explain"] * 2
    assert (rows[0].a, rows[0].b, rows[1].share) == (18.0, 21.0, 1.0)


def test_the_adjusted_range_is_that_of_least_squares():
    rng = np.random.default_rng(4)
    in_a = [day % 2 == 0 for day in range(60)]
    age = np.array([10 + 4 * of_a + rng.normal(0, 5) for of_a in in_a])
    liking = 5 + 1.5 * np.array(in_a) + 0.05 * age + rng.normal(0, 0.7, 60)
    found, (row,) = read(zip(range(60), in_a, liking, strict=True), ("days of rest", list(age)))
    assert found.higher == "A"
    fitted = sm.OLS(liking, np.column_stack([np.ones(60), in_a, age])).fit()
    assert row.verdict == "differs"
    assert (row.low, row.high) == pytest.approx(tuple(fitted.conf_int()[1]), rel=1e-6)


def test_the_adjusted_range_of_pairs_is_that_of_least_squares():
    rng = np.random.default_rng(6)
    gap = rng.normal(1.0, 1.6, 40)
    apart_by = 1.2 + 0.2 * gap + rng.normal(0, 0.8, 40)
    scores = [(day, True, 5 + apart_by[day]) for day in range(40)]
    scores += [(day, False, 5.0) for day in range(40)]
    values = [*(90 + gap), *[90.0] * 40]
    found, (row,) = read(scores, ("water temperature", values))
    assert found.by == "pairs"
    fitted = sm.OLS(apart_by, np.column_stack([np.ones(40), gap])).fit()
    assert (row.low, row.high) == pytest.approx(tuple(fitted.conf_int()[0]), rel=1e-6)


def test_a_line_that_explains_the_difference_is_named():
    rng = np.random.default_rng(3)
    in_a = [day % 2 == 0 for day in range(80)]
    age = np.array([10 + 3.5 * of_a + rng.normal(0, 4) for of_a in in_a])
    liking = 4 + 0.4 * age + rng.normal(0, 0.5, 80)
    found, (row,) = read(zip(range(80), in_a, liking, strict=True), ("days of rest", list(age)))
    assert found.higher == "A"
    assert row.verdict == "could explain"
    assert row.low < 0 < row.high


def test_two_things_may_explain_together_what_neither_does_alone():
    rng = np.random.default_rng(3)
    in_a = np.array([day % 2 == 0 for day in range(120)])
    one, two = (in_a + rng.normal(0, 1.2, 120) for _ in range(2))
    liking = 5 + one + two + rng.normal(0, 0.4, 120)
    things = ("dose", list(one)), ("steep", list(two))
    scores = list(zip(range(120), in_a.tolist(), liking, strict=True))
    alone = [read(scores, thing)[1][0].verdict for thing in things]
    assert alone == ["differs", "differs"]
    assert [row.verdict for row in read(scores, *things)[1]] == ["could explain"] * 2


def test_without_a_difference_nothing_is_said_to_explain_it():
    scores = by_turns(30, 0.0)
    bag = ["1" if in_a else "2" for _, in_a, _ in scores]
    found, (row,) = read(scores, ("bag", bag))
    assert found.higher is None
    assert (row.verdict, row.low) == ("differs", None)


def test_what_was_noted_for_few_cups_or_one_group_is_not_noted():
    scores = by_turns(20, 1.0)
    few = [90.0 if day < 8 else None for day in range(20)]
    one_group = [3 if in_a else None for _, in_a, _ in scores]
    _, rows = read(scores, ("water temperature", few), ("use", one_group))
    assert [row.verdict for row in rows] == ["not noted"] * 2


@pytest.mark.parametrize(
    ("scored", "brews", "verdict"),
    [
        ((20, 10), (20, 20), "could explain"),
        ((10, 11), (20, 20), "alike"),
        ((20, 19), (20, 20), "alike"),
        ((5, 5), (5, 5), "alike"),
        ((400, 360), (400, 400), "alike"),  # beyond chance, but 10 in 100 only
        ((40, 12), (40, 40), "could explain"),
        ((0, 0), (0, 3), "not noted"),
    ],
)
def test_shares_that_were_scored(scored, brews, verdict):
    assert scored_alike(scored, brews) == verdict
    assert scored_alike(scored[::-1], brews[::-1]) == verdict
