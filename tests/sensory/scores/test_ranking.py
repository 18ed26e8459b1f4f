import json
from math import exp
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import minimize

from app.sensory.scores.ranking import chance_preferred, rank

CASES = json.loads((Path(__file__).parent / "cases" / "ranking.json").read_text())


def spelt_out(wins):
    return [(winner, loser) for winner, loser, times in wins for _ in range(times)]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_worked_cases(case):
    found = rank(case["inputs"]["names"], spelt_out(case["inputs"]["wins"]))
    worths = {cup.name: cup.worth for cup in found.cups}
    assert worths == pytest.approx(case["expected"], abs=case["tolerance"])


def test_agrees_with_maximising_the_posterior_directly():
    rng = np.random.default_rng(2)
    pairs = [tuple(rng.choice(5, 2, replace=False)) for _ in range(40)]

    def loss(s):
        return sum(np.log1p(np.exp(s[j] - s[i])) for i, j in pairs) + s @ s / 2

    fit = minimize(loss, np.zeros(5), tol=1e-10)
    found = {
        cup.name: cup for cup in rank("vwxyz", [("vwxyz"[i], "vwxyz"[j]) for i, j in pairs]).cups
    }
    assert [found[name].worth for name in "vwxyz"] == pytest.approx(fit.x, abs=1e-4)
    half = [(found[name].high - found[name].low) / 2 / 1.96 for name in "vwxyz"]
    assert half == pytest.approx(np.sqrt(np.diag(np.linalg.inv(hessian(loss, fit.x)))), rel=1e-3)


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


def test_strongest_comes_first_and_one_win_is_no_certainty():
    found = rank(["a", "b"], [("b", "a")])
    first, second = found.cups
    assert (first.name, second.name) == ("b", "a")
    assert first.low < second.worth < first.worth
    assert 0.5 < chance_preferred(first, second) < 0.75
    assert chance_preferred(first, second) == pytest.approx(
        1 / (1 + exp(second.worth - first.worth))
    )


def test_cups_never_linked_are_named_as_a_guess():
    found = rank(["a", "b", "c", "d"], [("a", "b"), ("c", "d")])
    assert "Some cups were never linked by a comparison: their order is a guess." in found.cautions


def test_a_cup_without_a_comparison_keeps_the_widest_range():
    found = rank(["a", "b", "c"], [("a", "b")])
    alone = next(cup for cup in found.cups if cup.name == "c")
    assert (alone.worth, alone.comparisons) == (pytest.approx(0), 0)
    assert alone.high == pytest.approx(1.96, abs=0.001)
    assert any("nothing is known of them" in caution for caution in found.cautions)


def test_no_comparisons():
    assert rank(["a", "b"], []).cups == ()


@pytest.mark.parametrize(
    ("names", "wins", "message"),
    [
        (["a", "a"], [], "own name"),
        (["a", "b"], [("a", "z")], "unknown cup: z"),
        (["a", "b"], [("a", "a")], "with itself"),
    ],
)
def test_broken_input_is_refused(names, wins, message):
    with pytest.raises(ValueError, match=message):
        rank(names, wins)
