import json
from itertools import combinations
from math import exp, log2
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import t

from app.sensory.scores.ranking import MOST_IN_NEXT, islands, rank

CASES = json.loads((Path(__file__).parent / "cases" / "ranking.json").read_text())
TWELVE = tuple((0, 1) for _ in range(9)) + tuple((1, 0) for _ in range(3))


def only(found):
    """The one island, by cup."""
    (island,) = found.islands
    return {one.cup: one for one in island}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_worked_cases(case):
    names = case["inputs"]["names"]
    wins = tuple(
        (names.index(winner), names.index(loser))
        for winner, loser, times in case["inputs"]["wins"]
        for _ in range(times)
    )
    found = only(rank(len(names), wins))
    worths = {names[cup]: one.worth for cup, one in found.items()}
    assert worths == pytest.approx(case["expected"], abs=case["tolerance"])


def test_agrees_with_maximising_the_posterior_directly():
    rng = np.random.default_rng(2)
    pairs = [tuple(int(n) for n in rng.choice(5, 2, replace=False)) for _ in range(40)]

    def loss(s):
        return sum(np.log1p(np.exp(s[j] - s[i])) for i, j in pairs) + s @ s / 2

    fit = minimize(loss, np.zeros(5), tol=1e-10)
    found = only(rank(5, tuple(pairs)))
    assert [found[cup].worth for cup in range(5)] == pytest.approx(fit.x, abs=1e-4)

    def wide(s):
        return loss(s) - s @ s / 2 + s @ s / 18

    ends = []
    wide_at = minimize(wide, np.zeros(5), tol=1e-10).x
    for function, at, times in ((loss, fit.x, 1.96), (wide, wide_at, t.ppf(0.975, 39))):
        above = np.eye(5) - 1 / 5
        sd = np.sqrt(np.diag(above @ np.linalg.inv(hessian(function, at)) @ above))
        ends.append((above @ at - times * sd, above @ at + times * sd))
    low, high = np.minimum(ends[0][0], ends[1][0]), np.maximum(ends[0][1], ends[1][1])
    assert [found[cup].low for cup in range(5)] == pytest.approx(low, abs=2e-3)
    assert [found[cup].high for cup in range(5)] == pytest.approx(high, abs=2e-3)


def hessian(function, at, step=1e-3):
    moves = np.eye(len(at)) * step
    return np.array(
        [
            [
                function(at + a + b)
                - function(at + a - b)
                - function(at - a + b)
                + function(at - a - b)
                for b in moves
            ]
            for a in moves
        ]
    ) / (4 * step**2)


def of_two(wins, losses):
    """The posterior of the difference of two worths, N(0, 2) beforehand, on a fine grid."""
    apart = np.linspace(-12, 12, 24001)
    p = 1 / (1 + np.exp(-apart))
    density = np.exp(-(apart**2) / 4) * p**wins * (1 - p) ** losses
    return apart, density / density.sum()


@pytest.mark.parametrize(("wins", "losses"), [(1, 0), (3, 0), (5, 1), (9, 3), (15, 15), (28, 2)])
def test_the_chance_of_being_best_agrees_with_the_exact_posterior(wins, losses):
    apart, density = of_two(wins, losses)
    found = only(rank(2, ((0, 1),) * wins + ((1, 0),) * losses))
    assert found[0].best == pytest.approx(density[apart > 0].sum(), abs=0.015)
    assert found[0].best + found[1].best == pytest.approx(1)


def test_of_three_it_agrees_with_adding_up_the_exact_posterior():
    wins = ((0, 1),) * 3 + ((0, 2),) * 2 + ((1, 2),) * 3 + ((2, 0),)
    side = np.linspace(-4.5, 4.5, 91)
    worths = np.stack(np.meshgrid(side, side, side, indexing="ij"), axis=-1).reshape(-1, 3)
    log_density = -(worths**2).sum(axis=1) / 2
    for i, j in wins:
        log_density -= np.log1p(np.exp(worths[:, j] - worths[:, i]))
    density = np.exp(log_density)
    ahead = (worths[:, :, None] >= worths[:, None, :]).all(axis=2)
    exact = (density[:, None] * ahead / ahead.sum(axis=1)[:, None]).sum(axis=0) / density.sum()
    found = only(rank(3, wins))
    assert [found[cup].best for cup in range(3)] == pytest.approx(exact, abs=0.02)


def test_strongest_comes_first_and_one_win_is_no_certainty():
    (island,) = rank(2, ((1, 0),)).islands
    first, second = island
    assert (first.cup, second.cup) == (1, 0)
    assert first.low < second.worth < first.worth
    assert 0.5 < 1 / (1 + exp(second.worth - first.worth)) < 0.75
    assert ((first.won, first.lost), (second.won, second.lost)) == ((1, 0), (0, 1))
    assert first.best < 0.8


def test_the_same_comparisons_always_give_the_same():
    assert rank.__wrapped__(2, TWELVE) == rank.__wrapped__(2, TWELVE)


def test_cups_that_no_comparison_links_are_islands_of_their_own():
    found = rank(5, ((0, 1), (2, 3), (3, 2)))
    assert [{one.cup for one in island} for island in found.islands] == [{2, 3}, {0, 1}, {4}]
    assert islands(3, [(2, 0)]) == [[0, 2], [1]]


def test_what_all_cups_share_widens_no_range():
    """Of two cups compared often, the worth above their mean is half of the difference."""
    apart, density = of_two(150, 150)
    sd = np.sqrt((density * apart**2).sum())
    found = only(rank(2, ((0, 1), (1, 0)) * 150))
    assert found[0].high == pytest.approx(1.96 * sd / 2, rel=0.02)


def told_by(pair, chances, worths):
    """Bits that one comparison tells about the best, from drawn worths, by the definition."""
    best = worths.argmax(axis=1)
    p = 1 / (1 + np.exp(worths[:, pair[1]] - worths[:, pair[0]]))
    left = 0.0
    for weight in (p, 1 - p):
        after = np.array([weight[best == cup].sum() for cup in range(len(chances))])
        after /= after.sum()
        left -= weight.mean() * sum(q * log2(q) for q in after if q)
    return -sum(q * log2(q) for q in chances if q) - left


def test_the_next_pair_is_the_one_that_lessens_most_what_is_not_known():
    wins = ((0, 1),) * 2 + ((1, 2),) * 2 + ((0, 3),) * 6 + ((3, 0),)
    found = rank(4, wins)
    rng = np.random.default_rng(5)

    def loss(s):
        return sum(np.log1p(np.exp(s[j] - s[i])) for i, j in wins) + s @ s / 2

    fit = minimize(loss, np.zeros(4), tol=1e-10)
    covariance = np.linalg.inv(hessian(loss, fit.x))
    worths = rng.multivariate_normal(fit.x, covariance, 200_000)
    chances = np.bincount(worths.argmax(axis=1), minlength=4) / len(worths)
    bits = {pair: told_by(pair, chances, worths) for pair in combinations(range(4), 2)}
    best = max(bits, key=bits.get)
    assert set(found.next.pair) == set(best)
    assert found.next.bits == pytest.approx(bits[best], abs=0.01)
    assert 0 < found.next.bits < found.next.missing


def test_only_what_can_be_brewed_is_compared_next():
    assert set(rank(3, ((0, 1), (1, 2)), (1, 2)).next.pair) == {1, 2}
    assert rank(3, ((0, 1), (1, 2)), (1,)).next is None


def test_of_many_cups_those_likely_to_be_best_are_compared():
    wins = tuple((i, j) for i in range(30) for j in range(i + 1, 30))
    assert max(rank(30, wins).next.pair) < MOST_IN_NEXT


def test_no_comparisons():
    assert rank(0, ()).islands == ()
    found = rank(2, ())
    assert [len(island) for island in found.islands] == [1, 1]
    assert set(found.next.pair) == {0, 1}


@pytest.mark.parametrize(
    ("cups", "wins", "message"), [(2, ((0, 2),), "unknown cup"), (2, ((1, 1),), "with itself")]
)
def test_broken_input_is_refused(cups, wins, message):
    with pytest.raises(ValueError, match=message):
        rank(cups, wins)


@pytest.mark.parametrize("comparisons", [6, 12, 30])
@pytest.mark.parametrize("worths", [(0.0, 0.0, 0.0), (1.2, 0.0, -1.2), (1.0, 0.9, -1.9)])
def test_ranges_hold_the_truth(comparisons, worths):
    """Also where the worths are no draws from the prior; 95 % of ranges, less what 100 runs may
    miss."""
    rng = np.random.default_rng(comparisons)
    pairs = list(combinations(range(3), 2))
    held = []
    for _ in range(100):
        wins = []
        for n in range(comparisons):
            i, j = pairs[n % 3]
            first = rng.random() < 1 / (1 + exp(worths[j] - worths[i]))
            wins.append((i, j) if first else (j, i))
        found = only(rank.__wrapped__(3, tuple(wins)))
        held += [found[cup].low <= worths[cup] <= found[cup].high for cup in range(3)]
    assert np.mean(held) >= 0.92
