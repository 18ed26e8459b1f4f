import random
from collections import Counter
from math import sqrt

import numpy as np
import pytest

from app.sensory.scores.design_next import Factor, factorial, resolution, suggest_next

FACTORS = (Factor("water", 85, 97), Factor("steep", 60, 240))
THREE = (*FACTORS, Factor("dose", 10, 20))


def coded(row):
    return [factor.coded(value) for factor, value in zip(FACTORS, row, strict=True)]


def test_a_factorial_has_every_corner_and_a_repeated_centre():
    rows = Counter(factorial(FACTORS, random.Random(1), centres=4, rounds=2))
    assert rows == {(85, 60): 2, (85, 240): 2, (97, 60): 2, (97, 240): 2, (91, 150): 4}
    assert len(factorial(THREE, random.Random(1))) == 8 + 3


def test_the_order_is_drawn_by_lot():
    firsts = Counter(factorial(FACTORS, random.Random(seed))[0] for seed in range(2000))
    assert firsts[91, 150] == pytest.approx(2000 * 3 / 7, abs=4 * sqrt(2000 * 12 / 49))
    assert factorial(FACTORS, random.Random(7)) == factorial(FACTORS, random.Random(7))


@pytest.mark.parametrize(
    "factors", [FACTORS[:1], (*THREE, *THREE), (Factor("x", 2, 2), FACTORS[0])]
)
def test_designs_that_make_no_sense_are_refused(factors):
    with pytest.raises(ValueError, match=r"two or three|below its high"):
        factorial(factors, random.Random(1))


def test_surface_agrees_with_least_squares_on_rows_of_penalty():
    rng = np.random.default_rng(5)
    rows = factorial(FACTORS, random.Random(2), centres=4, rounds=3)
    scores = rng.normal(6, 1, len(rows))
    u, v = np.array([coded(row) for row in rows]).T
    terms = np.column_stack((np.ones(len(u)), u, v, u**2, v**2, u * v))
    penalised = np.vstack((terms, np.eye(6)[1:]))  # ridge is least squares with rows of zeros
    fit = np.linalg.lstsq(penalised, np.concatenate((scores, np.zeros(5))))[0]
    found = suggest_next(FACTORS, rows, scores)
    a, b = coded(found.settings)
    assert found.gain == pytest.approx(fit[1:] @ [a, b, a * a, b * b, a * b])
    axis = np.linspace(-1, 1, 21)
    surface = max(fit[1:] @ [p, q, p * p, q * q, p * q] for p in axis for q in axis)
    assert found.gain == pytest.approx(surface)


def test_a_peak_within_the_box_is_found_to_a_tenth_of_the_way_from_its_centre():
    rows = factorial(FACTORS, random.Random(2), centres=4, rounds=3)
    scores = [7 - 2 * (u - 0.3) ** 2 - 2 * (v + 0.3) ** 2 for u, v in map(coded, rows)]
    assert coded(suggest_next(FACTORS, rows, scores).settings) == pytest.approx([0.3, -0.3])


def test_it_beats_changing_one_thing_at_a_time():
    rng, source = np.random.default_rng(1), random.Random(1)
    levels, axis = np.linspace(-1, 1, 4), np.linspace(-1, 1, 41)
    short, short_one_by_one = [], []
    for _ in range(150):
        (pu, pv), (a, b) = rng.uniform(-1, 1, 2), rng.uniform(0.2, 1, 2)
        twist = rng.uniform(-1.6, 1.6) * sqrt(a * b)

        def liked(u, v, a=a, b=b, twist=twist, pu=pu, pv=pv):
            return 7 - a * (u - pu) ** 2 - b * (v - pv) ** 2 - twist * (u - pu) * (v - pv)

        best = max(liked(u, v) for u in axis for v in axis)
        rows = factorial(FACTORS, source, centres=4, rounds=3)
        scores = [liked(*coded(row)) + rng.normal(0, 0.4) for row in rows]
        short.append(best - liked(*coded(suggest_next(FACTORS, rows, scores).settings)))
        tries = [liked(u, 0) + rng.normal(0, 0.4 / sqrt(2)) for u in levels]
        u = levels[int(np.argmax(tries))]
        tries = [liked(u, v) + rng.normal(0, 0.4 / sqrt(2)) for v in levels]
        short_one_by_one.append(best - liked(u, levels[int(np.argmax(tries))]))
    assert np.mean(short) < 0.6 * np.mean(short_one_by_one)


def test_gain_keeps_its_range_and_asks_for_a_repeat():
    rows = [(85, 60), (97, 60), (85, 240), (97, 240), (91, 150), (91, 150), (91, 150)]
    found = suggest_next(FACTORS, rows, [5, 7, 5, 7.5, 6, 6.5, 6.2])
    assert found.settings[0] == 97
    assert found.low < found.gain < found.high
    assert found.sentence.startswith("After 7 cups the surface is highest at water 97, steep 240:")
    assert found.sentence.endswith("Brew it beside the centre before believing it.")


def test_flat_scores_suggest_nothing():
    rows = [(85, 60), (97, 60), (85, 240), (97, 240), (91, 150), (91, 150)]
    found = suggest_next(FACTORS, rows, [6.0] * 6)
    assert found.gain == pytest.approx(0)
    assert found.sentence == (
        "After 6 cups nothing within what was tried looks better than the centre."
    )


def test_too_few_cups_or_missing_scores():
    assert suggest_next(FACTORS, [(85, 60)] * 5, [6] * 5) is None
    with pytest.raises(ValueError, match="every cup"):
        suggest_next(FACTORS, [(85, 60)], [])


def test_half_a_point_is_not_resolved_by_32_cups_at_a_noise_of_0_8():
    # standard error of high minus low with 16 cups each: .8 sqrt(1/16 + 1/16)
    assert resolution(32, 0.8) == pytest.approx(1.96 * 0.8 * sqrt(2 / 16), rel=1e-4)
    assert resolution(32, 0.8) > 0.5
