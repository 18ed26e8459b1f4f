import json
from pathlib import Path

import pytest
from scipy.stats import binomtest

from app.sensory.preference import least_majority

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
