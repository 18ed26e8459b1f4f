"""Where to go next: the surface, its highest place, and how it compares with one at a time."""

import random
from itertools import product
from math import sqrt

import numpy as np
import pytest

from app.sensory.scores.design import Design, schedule
from app.sensory.scores.design_next import fit_surface, suggest_next
from app.sensory.scores.effects import Tried, fit_effects

LONG = Design(2, 3, 4)


def brewed(liked, source, rng=None, noise=0.0, design=LONG):
    runs = schedule(design, source)
    return [
        Tried(run.levels, liked(*run.levels) + (rng.normal(0, noise) if rng else 0), n)
        for n, run in enumerate(runs)
    ]


def best_of(tried):
    return suggest_next(fit_surface(tried), fit_effects(tried))


def test_surface_agrees_with_least_squares_on_rows_of_penalty():
    rng = np.random.default_rng(5)
    tried = brewed(lambda *_: 6.0, random.Random(2), rng, 1.0)
    u, v = np.array([cup.coded for cup in tried], float).T
    terms = np.column_stack((np.ones(len(u)), u, v, u**2, v**2, u * v))
    penalised = np.vstack((terms, np.eye(6)[1:]))  # ridge is least squares with rows of zeros
    scores = [cup.score for cup in tried]
    fit = np.linalg.lstsq(penalised, np.concatenate((scores, np.zeros(5))))[0]
    surface, found = fit_surface(tried), best_of(tried)
    a, b = found.coded
    assert found.gain == pytest.approx(fit[1:] @ [a, b, a * a, b * b, a * b])
    assert surface.at([(0.3, -0.7)]) == pytest.approx([fit @ [1, 0.3, -0.7, 0.09, 0.49, -0.21]])
    axis = np.linspace(-1, 1, 21)
    highest = max(fit[1:] @ [p, q, p * p, q * q, p * q] for p, q in product(axis, axis))
    assert found.gain == pytest.approx(highest)


def test_a_peak_within_the_box_is_found_to_a_tenth_of_the_way_from_its_centre():
    tried = brewed(lambda u, v: 7 - 2 * (u - 0.3) ** 2 - 2 * (v + 0.3) ** 2, random.Random(2))
    assert best_of(tried).coded == pytest.approx([0.3, -0.3])


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
        tried = brewed(liked, source, rng, 0.4)
        short.append(best - liked(*best_of(tried).coded))
        tries = [liked(u, 0) + rng.normal(0, 0.4 / sqrt(2)) for u in levels]
        u = levels[int(np.argmax(tries))]
        tries = [liked(u, v) + rng.normal(0, 0.4 / sqrt(2)) for v in levels]
        short_one_by_one.append(best - liked(u, levels[int(np.argmax(tries))]))
    assert np.mean(short) < 0.6 * np.mean(short_one_by_one)


def test_flat_scores_suggest_nothing():
    found = best_of(brewed(lambda *_: 6.0, random.Random(1)))
    assert found.gain == pytest.approx(0)
    assert not found.is_better
    assert found.low < 0 < found.high


def test_three_things_at_once_have_a_place_too():
    tried = brewed(lambda u, v, w: 6 + w, random.Random(1), design=Design(3, 1, 4))
    assert best_of(tried).coded[2] == 1
    assert best_of(tried).is_better


def test_too_few_brews_have_no_surface():
    assert fit_surface([Tried((0, 0), 6.0, 0)] * 5) is None
