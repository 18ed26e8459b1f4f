"""d' of A – not A and same–different: published values, ranges that hold at any stop, leaning."""

from __future__ import annotations

from math import inf, isfinite, log, sqrt

import numpy as np
import pytest
from scipy.optimize import minimize, minimize_scalar
from scipy.stats import norm

from app.sensory.blind.control import fisher_p
from app.sensory.blind.detection import (
    Said,
    a_not_a,
    leaning,
    read_said,
    same_different,
    same_share,
    tau_at,
)
from app.sensory.blind.detection_words import hits_and_false_alarms as read
from app.sensory.blind.discrimination import correct_at


def test_a_not_a_agrees_with_the_published_case() -> None:
    """10 of 20 against 3 of 20: d', standard error and Fisher's p of the R package sensR."""
    found = a_not_a(Said(10, 20, 3, 20))
    assert found.d_prime == pytest.approx(1.036433, abs=5e-7)
    assert found.error == pytest.approx(0.442501, abs=5e-7)
    assert fisher_p(10, 20, 3, 20) == pytest.approx(0.020371, abs=5e-7)


def test_same_different_agrees_with_the_computed_case() -> None:
    """8, 5, 4, 9 (same said the same, different said the same ...): tau and d' at the maximum."""
    found = same_different(Said(8, 13, 4, 13))
    assert tau_at(8 / 13) == pytest.approx(1.229551, abs=5e-7)
    assert found.d_prime == pytest.approx(1.884996, abs=1e-6)


def less_likely(values: list[float], said: Said) -> float:
    """Minus the log likelihood, written down anew with scipy's normal distribution."""
    tau, d = values
    same = 2 * norm.cdf(tau / sqrt(2)) - 1
    different = norm.cdf((tau - d) / sqrt(2)) - norm.cdf((-tau - d) / sqrt(2))
    misses, rejected = said.first - said.hits, said.other - said.false_alarms
    return -float(
        said.hits * log(same) + misses * log(1 - same)
        + said.false_alarms * log(different) + rejected * log(1 - different)
    )  # fmt: skip


@pytest.mark.parametrize("counts", [(8, 13, 4, 13), (15, 20, 6, 25), (40, 50, 30, 60)])
def test_the_distance_of_pairs_is_the_likeliest_and_its_error_the_curvature(
    counts: tuple[int, int, int, int],
) -> None:
    said = Said(*counts)
    found = same_different(said)
    best = minimize(less_likely, (1.0, 1.0), (said,), "Nelder-Mead", options={"xatol": 1e-9})
    assert found.d_prime == pytest.approx(best.x[1], abs=1e-4)
    step = 1e-4
    curve = np.empty((2, 2))
    for i, up in enumerate(np.eye(2) * step):
        for j, side in enumerate(np.eye(2) * step):
            four = [less_likely(best.x + a * up + b * side, said) * a * b
                    for a in (1, -1) for b in (1, -1)]  # fmt: skip
            curve[i, j] = sum(four) / (4 * step**2)
    error = sqrt(np.linalg.inv(curve)[1, 1])
    assert found.error == pytest.approx(error, rel=1e-3)


def test_the_most_that_can_be_right_is_that_without_leaning() -> None:
    """Half of the trials of each kind; the best line is searched for, not taken from the code."""
    assert correct_at("A-not-A", 1) == pytest.approx(norm.cdf(0.5), abs=1e-12)  # .6914625, table
    for d in (0.5, 1, 2, 3):
        best = minimize_scalar(
            lambda tau, d=d: same_share(tau, d) - same_share(tau, 0),
            bounds=(0, 9),
            method="bounded",
        )
        assert correct_at("same-different", d) == pytest.approx(0.5 - best.fun / 2, abs=1e-9)


def test_ends_of_the_scale_are_ranges_not_faults() -> None:
    for few in (Said(0, 0, 0, 0), Said(1, 1, 0, 0), Said(0, 0, 1, 1)):
        for found in (a_not_a(few), same_different(few)):
            assert found.d_prime is None
            assert found.low <= 0
            assert found.high == inf
    perfect = a_not_a(Said(12, 12, 0, 12))
    assert (perfect.d_prime, perfect.error) == (inf, None)
    assert 0 < perfect.low < perfect.high == inf
    assert a_not_a(Said(5, 5, 5, 5)).d_prime is None  # says A to everything
    assert same_different(Said(3, 9, 5, 9)).d_prime == 0
    with pytest.raises(ValueError, match="between 0"):
        Said(3, 2, 0, 1)


@pytest.mark.parametrize(("distance", "criterion"), [(0.0, 0.6), (1.0, 0.0), (2.0, 1.4)])
def test_the_range_holds_at_a_stop_chosen_to_look_good(distance: float, criterion: float) -> None:
    """Stopped where the share right so far is the best of 60: the worst moment there is to look."""
    rng = np.random.default_rng(8)
    held, tries = 0, 300
    for _ in range(tries):
        is_a = rng.integers(0, 2, 60).astype(bool)
        felt = rng.normal(np.where(is_a, distance, 0.0), 1)
        says_a = felt > criterion
        right = np.cumsum(is_a == says_a)
        stop = int(np.argmax(right[9:] / np.arange(10, 61))) + 10
        found = a_not_a(read_said(zip(is_a[:stop].tolist(), says_a[:stop].tolist(), strict=True)))
        held += found.low <= distance <= found.high
    assert held / tries >= 0.95


def test_leaning_is_said_only_once_it_is_shown() -> None:
    assert leaning(Said(10, 10, 10, 10)) == 1
    assert leaning(Said(0, 10, 0, 10)) == -1
    assert leaning(Said(6, 10, 4, 10)) == 0
    assert leaning(Said(8, 10, 5, 10)) == 0  # 13 of 20 is what a coin does


def test_what_was_said_is_told_in_words() -> None:
    answers = [(True, True)] * 10 + [(True, False)] * 10 + [(False, True)] * 3
    answers += [(False, False)] * 17
    fixed = read("A-not-A", answers, fixed=True)
    assert fixed == (
        "“It is A” was said to 10 of 20 cups of A and to 3 of 20 others. "
        "Distance d′ 1.0, standard error 0.4. "
        "It was said 13 of 40 times, which shows no leaning to either answer."
    )
    going_on = read("A-not-A", answers, fixed=False)
    assert "Distance d′ 0.0 to 2.7, whenever one looks." in going_on
    assert "standard error" not in going_on
    pairs = read("same-different", [(True, True)] * 9 + [(False, True)] * 9, fixed=False)
    assert pairs.startswith("“The same” was said of 9 of 9 pairs of one kind and of 9 of 9 diff")
    assert "leaning to “The same”" in pairs
    assert read("triangle", answers, fixed=True) == read("A-not-A", [], fixed=True) == ""


def test_a_distance_the_other_way_round_is_told_so() -> None:
    """Who calls A the other cup all the time tells them apart; nothing below 0 is shown."""
    turned = [(True, False)] * 15 + [(False, True)] * 15
    assert "or more, the other way round, whenever one looks." in read(
        "A-not-A", turned, fixed=False
    )
    answers = [(True, True)] * 3 + [(True, False)] * 17 + [(False, True)] * 14
    answers += [(False, False)] * 6
    fixed = read("A-not-A", answers, fixed=True)
    assert "Distance d′ 1.6, the other way round, standard error 0.5." in fixed
    leaning_there = read("A-not-A", answers, fixed=False)
    assert "the other way round, whenever one looks." in leaning_there
    few = read("A-not-A", [(True, False), (False, False)] * 4, fixed=False)
    assert "Distance d′ 0.0 or more, whenever one looks." in few


def test_a_range_and_an_error_agree_with_a_simulated_taster() -> None:
    """The standard error is the spread of d' between tests of 200 trials each, d' 1.2."""
    rng = np.random.default_rng(5)
    found = []
    for _ in range(400):
        hits, alarms = rng.binomial(100, norm.sf(0.4 - 1.2)), rng.binomial(100, norm.sf(0.4))
        found.append(a_not_a(Said(int(hits), 100, int(alarms), 100)))
    distances = [one.d_prime for one in found if one.d_prime is not None and isfinite(one.d_prime)]
    errors = [one.error for one in found if one.error is not None]
    assert np.std(distances) == pytest.approx(np.mean(errors), rel=0.1)
    assert np.mean(distances) == pytest.approx(1.2, abs=0.05)
