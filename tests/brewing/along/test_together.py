"""The start of the second cup, held against trying every second."""

from random import Random
from statistics import median
from time import thread_time

from app.brewing.along.timeline import Brewed, Planned, Timeline, timeline
from app.brewing.along.together import together

KINDS = ("bloom", "pour", "stir", "steep", "press", "dilute")


def recipe(lots: Random) -> Timeline:
    steps = []
    now = 0
    for _ in range(lots.randint(1, 9)):
        starts = now + lots.choice((0, 0, lots.randint(1, 90)))
        lasts = lots.randint(0, 200 if (kind := lots.choice(KINDS)) == "steep" else 40)
        steps.append(Planned(kind=kind, starts_s=starts, lasts_s=lasts, grams=lots.randint(1, 90)))
        now = starts + lasts
    return timeline(steps, Brewed(water_g=200))


def clashes(a: Timeline, b: Timeline, b_after_a_s: int, turn_s: int) -> bool:
    return any(
        ours.starts_s < theirs.ends_s + b_after_a_s + turn_s
        and theirs.starts_s + b_after_a_s < ours.ends_s + turn_s
        for ours in a.by_hand
        for theirs in b.by_hand
    )


def least_gap(a: Timeline, b: Timeline, turn_s: int) -> int:
    """B begins at every second from long before A to long after it; the smallest gap of all."""
    far = a.ends_s + b.ends_s + turn_s + 1
    tried = sorted((abs(a.ends_s - start - b.ends_s), start) for start in range(-far, far + 1))
    return next(gap for gap, start in tried if not clashes(a, b, start, turn_s))


def seconds_by_hand(line: Timeline, begins_s: int) -> set[int]:
    return {
        begins_s + second
        for action in line.by_hand
        for second in range(action.starts_s, action.ends_s)
    }


def test_for_2000_pairs_of_recipes_nothing_is_better_and_no_hands_overlap():
    lots = Random(20261126)
    took_s = []
    for _ in range(2000):
        a, b, turn_s = recipe(lots), recipe(lots), lots.choice((0, 5, 12))
        began = thread_time()
        found = together(a, b, turn_s)
        took_s.append(thread_time() - began)
        assert not clashes(a, b, found.b_after_a_s, turn_s)
        assert not seconds_by_hand(a, 0) & seconds_by_hand(b, found.b_after_a_s)
        assert found.apart_s == least_gap(a, b, turn_s)
        assert found.b_waits_s == a.ends_s - (found.b_after_a_s + b.ends_s)
    middle, slowest = median(took_s) * 1000, max(took_s) * 1000
    print(f"2000 pairs: median {middle:.3f} ms, slowest {slowest:.2f} ms")
    assert slowest < 5


def test_two_equal_cups_are_a_hand_apart():
    cup = timeline([], Brewed(water_g=210, steep_s=100, press_s=20))
    found = together(cup, cup, turn_s=5)
    assert found.b_after_a_s == 26  # pouring takes 21 s, turning to the other 5
    assert found.apart_s == 26


def test_a_short_brew_begins_while_the_long_one_steeps():
    long = timeline([], Brewed(water_g=200, steep_s=240, press_s=20))
    short = timeline([], Brewed(water_g=200, steep_s=60, press_s=20))
    found = together(long, short, turn_s=0)
    assert found.b_after_a_s > 100
    assert found.apart_s == 20


def test_the_long_brew_may_be_b_and_then_begins_first():
    long = timeline([], Brewed(water_g=200, steep_s=240, press_s=20))
    short = timeline([], Brewed(water_g=200, steep_s=60, press_s=20))
    assert together(short, long, turn_s=0).b_after_a_s < 0


def test_cups_that_only_steep_end_at_once():
    tea, other = (timeline([Planned(kind="steep", lasts_s=s)], Brewed(water_g=1)) for s in (70, 90))
    assert together(tea, other).apart_s == 0
