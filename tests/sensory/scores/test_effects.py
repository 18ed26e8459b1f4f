from math import inf

import numpy as np
import pytest
import statsmodels.api as sm
from statsmodels.stats.outliers_influence import variance_inflation_factor

from app.sensory.scores.effects import inflation, separate_effects


def cups(n=24, mixing=0.0, seed=3):
    rng = np.random.default_rng(seed)
    dose = rng.normal(15, 1, n)
    steep = 150 + 30 * (mixing * (dose - 15) + (1 - mixing) * rng.normal(0, 1, n))
    score = 2 + 0.4 * dose - 0.01 * steep + rng.normal(0, 0.3, n)
    return {"dose": dose, "steep": steep}, score


def test_effects_and_factors_agree_with_statsmodels():
    columns, score = cups()
    design = sm.add_constant(np.column_stack(list(columns.values())))
    reference = sm.OLS(score, design).fit()
    found = separate_effects(columns, score).found
    assert [e.name for e in found] == ["dose", "steep"]
    assert [e.change for e in found] == pytest.approx(reference.params[1:])
    assert [[e.low, e.high] for e in found] == [
        pytest.approx(row) for row in reference.conf_int()[1:].tolist()
    ]
    for i, effect in enumerate(found, 1):
        assert effect.vif == pytest.approx(variance_inflation_factor(design, i))


def test_things_that_changed_together_are_not_separated():
    columns, score = cups(mixing=0.95)
    found = separate_effects(columns, score)
    assert found.found == ()
    assert found.refusal == "dose and steep changed together: no telling which did it."


def test_a_column_that_repeats_another_is_refused():
    columns, score = cups()
    columns["dose in oz"] = columns["dose"] / 28.35
    assert inflation(np.column_stack(list(columns.values()))) == (inf, inf, inf)
    assert "changed together" in separate_effects(columns, score).refusal


def test_too_few_cups_or_a_thing_that_never_changed():
    columns, score = cups(5)
    assert separate_effects(columns, score).refusal == "5 cups are too few to separate 2 effects."
    columns, score = cups()
    columns["dose"] = np.full(24, 15.0)
    assert separate_effects(columns, score).refusal == "dose never changed in these cups."


def test_one_thing_alone_has_nothing_to_be_mixed_up_with():
    columns, score = cups()
    (effect,) = separate_effects({"dose": columns["dose"]}, score).found
    assert effect.vif == 1


def test_cups_without_a_score_are_refused():
    with pytest.raises(ValueError, match="every cup"):
        separate_effects({"dose": [1, 2, 3]}, [1, 2])
