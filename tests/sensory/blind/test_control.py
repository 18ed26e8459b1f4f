import numpy as np
import pytest
from scipy.stats import fisher_exact

from app.sensory.blind.control import against_controls, fisher_p


@pytest.mark.parametrize("seed", range(10))
def test_p_agrees_with_scipy(seed):
    rng = np.random.default_rng(seed)
    n, controls = rng.integers(1, 40, 2).tolist()
    right, control_right = rng.integers(0, n + 1), rng.integers(0, controls + 1)
    table = [[right, n - right], [control_right, controls - control_right]]
    reference = fisher_exact(table, alternative="greater").pvalue
    assert fisher_p(int(right), n, int(control_right), controls) == pytest.approx(reference)


def test_p_of_the_lady_tasting_tea():
    # Fisher 1935, The Design of Experiments, chapter II: all eight cups right, 1 in 70
    assert fisher_p(4, 4, 0, 4) == pytest.approx(1 / 70)


def test_sentences():
    assert against_controls(18, 20, 9, 20).sentence == (
        "18 of 20 right, 9 of 20 where A met A: more than A against A explains (p = 0.003). "
        "The p holds if both numbers of trials were fixed beforehand."
    )
    assert against_controls(10, 20, 9, 20).sentence == (
        "10 of 20 right, 9 of 20 where A met A: which A against A may explain (p = 0.500); "
        "that does not make them the same. "
        "The p holds if both numbers of trials were fixed beforehand."
    )
    assert against_controls(3, 4, 0, 0).sentence == (
        "Real trials and controls are both needed before they can be compared."
    )


def test_impossible_counts_are_refused():
    with pytest.raises(ValueError, match="between 0"):
        against_controls(3, 2, 0, 1)
