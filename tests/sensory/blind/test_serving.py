import random
import secrets
from collections import Counter
from itertools import product
from math import sqrt

import pytest
from scipy.stats import chisquare

from app.sensory.blind.methods import METHOD_FACTS
from app.sensory.blind.serving import (
    balanced,
    brewing_order,
    draw,
    draw_codes,
    key_of,
    orders,
    places,
    plain_codes,
)

FORMS = (*METHOD_FACTS, "preference")
DRAWS = 100_000


@pytest.mark.parametrize(
    ("form", "ways"),
    [
        ("triangle", 6),
        ("tetrad", 6),
        ("three-cup", 3),
        ("duo-trio", 4),
        ("paired", 2),
        ("preference", 2),
        ("A-not-A", 2),
        ("same-different", 4),
    ],
)
def test_every_order_of_a_form_comes_equally_often(form, ways):
    source = random.Random(11)
    seen = Counter(draw(form, source).cups for _ in range(6_000))
    assert set(seen) == set(orders(form))
    assert len(seen) == ways
    assert chisquare(list(seen.values())).pvalue > 1e-4


@pytest.mark.parametrize("form", FORMS)
def test_the_key_is_the_right_answer(form):
    for more in ("A", "B"):
        for cups in orders(form, more):
            key = key_of(form, cups, more)
            match form:
                case "triangle":
                    assert [cup == cups[key] for cup in cups].count(True) == 1
                case "tetrad" | "duo-trio":
                    assert key > 0
                    assert cups[key] == cups[0]
                    assert cups[1:].count(cups[0]) == 1
                case "three-cup" | "paired":
                    assert cups[key] == more
                    assert cups.count(more) == 1
                case "A-not-A":
                    assert key == "AB".index(cups[0])
                case "same-different":
                    assert key == len(set(cups)) - 1
                case "preference":
                    assert key is None


@pytest.mark.parametrize("form", METHOD_FACTS)
def test_places_to_answer_with_make_guessing_what_it_should_be(form):
    assert len(places(form)) == 1 / METHOD_FACTS[form].guess
    assert {key_of(form, cups) for cups in orders(form)} == set(places(form))
    assert len(orders(form)[0]) == METHOD_FACTS[form].cups


@pytest.fixture(scope="module")
def triangles():
    source = random.Random(1936)
    return [draw("triangle", source) for _ in range(DRAWS)]


def near_a_third(hits, tries):
    return abs(hits / tries - 1 / 3) < 4 * sqrt(2 / 9 / tries)


def test_no_previous_key_tells_the_next(triangles):
    keys = [trial.key for trial in triangles]
    for lag in (1, 2, 3, 6):
        pairs = Counter(zip(keys, keys[lag:], strict=False))
        for before in range(3):
            tries = sum(pairs[before, key] for key in range(3))
            assert all(near_a_third(pairs[before, key], tries) for key in range(3))
    triples = Counter(zip(keys, keys[1:], keys[2:], strict=False))
    for first in range(3):
        for second in range(3):
            tries = sum(triples[first, second, key] for key in range(3))
            assert all(near_a_third(triples[first, second, key], tries) for key in range(3))


def test_a_taster_who_bets_on_the_place_least_used_gains_nothing(triangles):
    counts, hits = [0, 0, 0], 0
    for trial in triangles:
        hits += counts.index(min(counts)) == trial.key
        counts[trial.key] += 1
    assert near_a_third(hits, DRAWS)


def test_a_taster_who_learns_from_all_earlier_orders_gains_nothing(triangles):
    learnt, before, hits = {}, ((), ()), 0
    for trial in triangles:
        seen = learnt.setdefault(before, [0, 0, 0])
        hits += seen.index(max(seen)) == trial.key
        seen[trial.key] += 1
        before = (before[1], trial.cups)
    assert near_a_third(hits, DRAWS)


def test_codes_tell_nothing_about_the_key(triangles):
    largest = sum(trial.codes.index(max(trial.codes)) == trial.key for trial in triangles)
    assert near_a_third(largest, DRAWS)
    first_odd = [trial for trial in triangles if int(trial.codes[0]) % 2]
    assert near_a_third(sum(trial.key == 0 for trial in first_odd), len(first_odd))


def test_the_same_count_would_pay_in_balanced_blocks_with_feedback():
    source = random.Random(5)
    hits = tries = 0
    for _ in range(2000):
        left = [2, 2, 2]
        for trial in balanced("triangle", 6, source, feedback=False):
            hits += left.index(max(left)) == trial.key
            left[trial.key] -= 1
            tries += 1
    # the place with most left in the block is bet on: 101/180, summed over all blocks
    assert hits / tries == pytest.approx(101 / 180, abs=0.018)


@pytest.mark.parametrize("form", FORMS)
def test_balanced_orders_are_equally_frequent_and_coded_apart(form):
    servings = balanced(form, 12, random.Random(2), feedback=False)
    counts = Counter(serving.cups for serving in servings)
    assert set(counts.values()) == {12 // len(orders(form))}
    codes = [code for serving in servings for code in serving.codes]
    assert len(set(codes)) == len(codes)


def test_balanced_orders_for_a_number_that_does_not_divide():
    counts = Counter(s.cups for s in balanced("triangle", 20, random.Random(3), feedback=False))
    assert sorted(counts.values()) == [3, 3, 3, 3, 4, 4]


def test_balanced_orders_are_refused_to_few_or_to_those_who_see_results():
    with pytest.raises(ValueError, match="without results"):
        balanced("triangle", 12, random.Random(1), feedback=True)
    with pytest.raises(ValueError, match="at least 6"):
        balanced("triangle", 5, random.Random(1), feedback=False)


def test_codes_carry_no_pattern():
    for code in plain_codes():
        a, b, c = map(int, code)
        assert a > 0
        assert len({a, b, c}) == 3
        assert b - a != c - b
    assert len(set(plain_codes())) == len(plain_codes()) > 600
    assert not {"123", "321", "135", "111", "911", "864"} & set(plain_codes())


def test_codes_of_a_trial_start_differently_and_are_not_those_before():
    source, used = random.Random(8), []
    for _ in range(100):
        codes = draw_codes(3, source, used)
        assert len({code[0] for code in codes}) == 3
        assert not set(codes) & set(used[-300:])
        used.extend(codes)


def test_every_plain_code_is_used_about_as_often(triangles):
    seen = Counter(trial.codes[0] for trial in triangles)
    assert set(seen) == set(plain_codes())
    assert chisquare(list(seen.values())).pvalue > 1e-4


def test_controls_are_mixed_in_and_look_like_any_other_trial():
    source = random.Random(21)
    trials = [draw("triangle", source, controls=1, of=5) for _ in range(20_000)]
    controls = [trial for trial in trials if trial.control]
    assert len(controls) / 20_000 == pytest.approx(0.2, abs=0.012)
    keys = Counter(trial.key for trial in controls)
    assert all(near_a_third(keys[key], len(controls)) for key in range(3))
    assert not any(draw("triangle", source).control for _ in range(100))
    assert all(draw("triangle", source, controls=3, of=3).control for _ in range(20))


def test_brewing_order_is_a_coin():
    source = random.Random(4)
    first = Counter(brewing_order(source)[0] for _ in range(10_000))
    assert abs(first["A"] - 5000) < 4 * 50


@pytest.mark.parametrize("form", FORMS)
def test_the_system_source_fits(form):
    serving = draw(form, secrets.SystemRandom())
    assert len(serving.codes) == len(serving.cups)


def test_the_same_source_draws_the_same_trial():
    assert draw("triangle", random.Random(6)) == draw("triangle", random.Random(6))


def runs_of_four(keys):
    """p of a chi-square test that each of the 16 runs of four keys comes as often as the others."""
    apart = Counter(zip(keys[::4], keys[1::4], keys[2::4], keys[3::4], strict=False))
    return chisquare([apart[run] for run in product((0, 1), repeat=4)]).pvalue


@pytest.mark.parametrize("form", ["A-not-A", "same-different"])
def test_the_key_of_each_trial_is_a_fair_coin_of_its_own(form):
    source = random.Random(8588)
    keys = [draw(form, source).key for _ in range(DRAWS)]
    assert abs(sum(keys) / DRAWS - 1 / 2) < 4 * sqrt(1 / 4 / DRAWS)
    assert runs_of_four(keys) > 1e-4


def test_a_coin_that_remembers_would_be_found():
    """Keys dealt in balanced blocks of six, and a coin that follows its last fall once in 25."""
    source = random.Random(8588)
    blocks = [key for _ in range(DRAWS // 6) for key in source.sample([0, 0, 0, 1, 1, 1], 6)]
    assert runs_of_four(blocks) < 1e-9
    clinging = [0]
    while len(clinging) < DRAWS:
        clinging.append(clinging[-1] if source.random() < 0.04 else source.randrange(2))
    assert runs_of_four(clinging) < 1e-4


def test_on_a_tray_stand_both_cups_of_a_not_a():
    source = random.Random(2139)
    drawn = [draw("A-not-A", source, tray=True) for _ in range(1_000)]
    assert {(served.cups, served.key) for served in drawn} == {
        (("A", "B"), None),
        (("B", "A"), None),
    }
