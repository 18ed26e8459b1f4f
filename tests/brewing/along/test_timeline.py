"""A brew on its clock, with steps and without."""

from app.brewing.along.timeline import Brewed, Planned, timeline

CUP = Brewed(water_g=230, steep_s=105, press_s=25, stirs=2)


def test_a_recipe_without_steps_is_poured_stirred_left_and_pressed():
    line = timeline([], CUP)
    told = [(action.kind, action.starts_s, action.ends_s) for action in line.actions]
    assert told == [("pour", 0, 23), ("stir", 23, 33), ("steep", 33, 105), ("press", 105, 130)]
    assert line.ends_s == 130
    assert [action.kind for action in line.by_hand] == ["pour", "stir", "press"]


def test_what_is_added_after_comes_last():
    line = timeline([], Brewed(water_g=100, bypass_g=60, ice_g=40, is_pressed=True))
    assert [action.kind for action in line.actions] == ["pour", "steep", "press", "dilute", "ice"]
    assert [action.grams for action in line.actions] == [100, None, None, 60, 40]


def test_what_is_pressed_without_saying_when_steeps_for_the_usual_time():
    line = timeline([], Brewed(water_g=190, press_s=25))
    told = [(action.kind, action.ends_s, action.is_assumed) for action in line.actions]
    assert told == [("pour", 19, True), ("steep", 110, True), ("press", 135, False)]


def test_a_steps_own_times_hold_and_what_is_open_follows_on():
    steps = [
        Planned(kind="bloom", starts_s=0, lasts_s=8, grams=45),
        Planned(kind="pour", starts_s=35, grams=140),
        Planned(kind="stir"),
        Planned(kind="steep"),
        Planned(kind="press", starts_s=150),
    ]
    line = timeline(steps, CUP)
    told = [(action.starts_s, action.ends_s, action.is_assumed) for action in line.actions]
    assert told == [
        (0, 8, False),
        (35, 49, True),
        (49, 59, True),
        (59, 150, False),
        (150, 175, True),
    ]


def test_what_should_be_in_the_brewer_adds_up_until_it_is_not_known():
    steps = [
        Planned(kind="bloom", grams=40),
        Planned(kind="pour", grams=110),
        Planned(kind="pour"),
        Planned(kind="pour", grams=20),
    ]
    assert [action.poured_g for action in timeline(steps, CUP).actions] == [40, 150, None, None]


def test_a_step_that_should_begin_while_another_lasts_waits_for_it():
    steps = [
        Planned(kind="pour", starts_s=0, lasts_s=30, grams=200),
        Planned(kind="stir", starts_s=20, lasts_s=10),
    ]
    assert [action.starts_s for action in timeline(steps, CUP).actions] == [0, 30]


def test_a_steep_counts_from_its_own_start_while_hands_are_at_work():
    steps = [
        Planned(kind="pour", starts_s=0, grams=200),
        Planned(kind="stir"),
        Planned(kind="steep", starts_s=0, lasts_s=95),
        Planned(kind="press", starts_s=95, lasts_s=20),
    ]
    told = [(action.starts_s, action.ends_s) for action in timeline(steps, CUP).actions]
    assert told == [(0, 20), (20, 30), (30, 95), (95, 115)]


def test_a_steep_without_any_time_takes_none():
    line = timeline([Planned(kind="pour", lasts_s=12), Planned(kind="steep")], Brewed(water_g=200))
    assert line.ends_s == 12


def test_a_flipped_brewer_is_turned_over_within_its_steep():
    line = timeline([], Brewed(water_g=230, steep_s=105, press_s=25, is_flipped=True))
    told = [(action.kind, action.starts_s, action.ends_s) for action in line.actions]
    assert told == [("pour", 0, 23), ("steep", 23, 93), ("turn over", 93, 105), ("press", 105, 130)]
    assert [action.kind for action in line.by_hand] == ["pour", "turn over", "press"]


def test_what_follows_waits_where_there_is_no_time_to_turn_a_brewer_over():
    steps = [
        Planned(kind="pour", lasts_s=20, grams=200),
        Planned(kind="steep", lasts_s=5),
        Planned(kind="press", lasts_s=25),
        Planned(kind="dilute", lasts_s=9, grams=60),
    ]
    line = timeline(steps, Brewed(water_g=200, is_flipped=True))
    told = [(action.kind, action.starts_s, action.ends_s) for action in line.actions]
    assert told == [
        ("pour", 0, 20),
        ("steep", 20, 20),
        ("turn over", 20, 32),
        ("press", 32, 57),
        ("dilute", 57, 66),
    ]


def test_a_flipped_brewer_that_is_not_pressed_is_turned_over_to_run_out():
    line = timeline([], Brewed(water_g=200, steep_s=90, bypass_g=60, is_flipped=True))
    told = [(action.kind, action.starts_s, action.ends_s) for action in line.actions]
    assert told == [("pour", 0, 20), ("steep", 20, 78), ("turn over", 78, 90), ("dilute", 90, 99)]


def test_what_only_runs_through_is_not_turned_over():
    line = timeline([], Brewed(water_g=200, is_flipped=True))
    assert [action.kind for action in line.actions] == ["pour"]
