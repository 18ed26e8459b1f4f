"""What is said of a trend: plain words first, then what they do not say, then when it is read."""

from dataclasses import replace

import pytest

from app.sensory.scores.along import moved_along
from app.sensory.scores.trend import Look, Scored, Trend, read_trend
from app.sensory.scores.trend_words import NO_EXPERIMENT, Measured, say

LIKING = Measured("liking", "day with a score", "days", "when the bag is finished", points="point")
PRESS = Measured("press time", "day with a press time", "uses", "when it is retired", unit="s")
LOOK = Look(
    20, 24, -0.45, -2.9, 2.57, -0.051, -0.09, -0.02, 0.1, 1.2, 3.0, 24.0, (13.0, 6.0), ()
)  # fmt: skip


def words(*looks, days=23, mark=40, ended=False, what=LIKING, moved=()):
    return say(Trend(looks, days, mark, ended), what, moved)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (0.1, "less than a quarter of a point"),
        (-0.2, "a quarter of a point"),
        (0.5, "half a point"),
        (-0.8, "three quarters of a point"),
        (1.0, "one point"),
        (1.3, "one and a quarter points"),
        (2.55, "two and a half points"),
        (3.8, "three and three quarters points"),
        (40.0, "eight points"),
    ],
)
def test_sizes_of_points_are_said_in_quarters(change, said):
    assert LIKING.size(change) == said


def test_other_sizes_are_rounded_to_what_is_measured():
    strength = replace(PRESS, unit="points of TDS", digits=2)
    assert PRESS.size(-6.3) == "6 s"
    assert PRESS.size(0.2) == "less than 1 s"
    assert strength.size(0.064) == "0.06 points of TDS"
    assert strength.size(0.001) == "less than 0.01 points of TDS"


def test_a_direction_is_said_with_its_size_and_what_it_does_not_say():
    assert words(LOOK).sentences == (
        "Liking fell by about half a point in ten days (20 days with a score).",
        "It may be anything from a quarter of a point to one point.",
        NO_EXPERIMENT,
        "It is read next after 40 days with a score (23 so far), or when the bag is finished.",
    )


def test_no_direction_is_not_called_steady():
    unclear = replace(LOOK, z=-1.1, high=0.06)
    assert words(unclear, ended=True, mark=None).sentences == (
        "No direction is clear in liking (20 days with a score).",
        "A fall of up to one point in ten days would fit, and so would a rise of up to half a "
        "point.",
        "That does not make it steady.",
    )


def test_what_was_found_stays_said_when_it_is_read_again():
    later = replace(LOOK, days=40, z=-1.9, high=0.01)
    first, _, again, *_ = words(LOOK, later, days=41, mark=80).sentences
    assert first == "Liking fell by about half a point in ten days (20 days with a score)."
    assert again == (
        "Read again after 40 days with a score: a fall of up to one point in ten days would fit, "
        "and so would a rise of up to less than a quarter of a point."
    )
    turned = replace(LOOK, days=40, z=3.0, slope=0.05, low=0.02, high=0.08)
    assert "Liking rose by about half a point" in words(LOOK, turned).sentences[2]


def test_too_few_days_to_end_a_range_say_so():
    open_ended = replace(LOOK, z=1.0, low=None, high=None)
    assert (
        "So few days would fit a fall or a rise of almost any size." in words(open_ended).sentences
    )
    rose = replace(LOOK, z=3.0, slope=0.05, low=0.025, high=None)
    assert "It may be anything from a quarter of a point on." in words(rose).sentences


def test_a_short_axis_is_said_as_it_is():
    short = replace(LOOK, slope=2.0, low=1.0, high=3.0, z=3.0, first=1.0, last=6.0)
    assert words(short, what=PRESS).sentences[:2] == (
        "Press time rose by about 10 s over these 6 uses (20 days with a press time).",
        "It may be anything from 5 s to 15 s.",
    )


@pytest.mark.parametrize(
    ("days", "ended", "said"),
    [
        (1, False, "Too early to say whether liking moves. It is read after 10 days with a score "
         "(1 so far), or when the bag is finished; looking in between changes nothing."),
        (1, True, "Too little to say whether liking moved: 1 day with a score, and a direction is "
         "not read from fewer than 5."),
        (11, True, "All of these stand at one place of the days, so there is no direction."),
    ],
)  # fmt: skip
def test_without_a_look_it_is_said_why(days, ended, said):
    assert words(days=days, ended=ended, mark=None if ended else 10).sentences == (said,)


def test_settings_that_moved_along_are_named():
    said = words(LOOK, moved=["dose"]).sentences
    assert said[2] == (
        "What was set moved along with the days too (dose), so their part and that of the days "
        "cannot be told apart."
    )
    assert "(dose, grind and ratio)" in words(LOOK, moved=["dose", "grind", "ratio"]).sentences[2]


def test_no_sentence_has_a_figure_of_three_digits_and_the_sums_have_all():
    scored = [Scored(day, day, 5 + day / 7) for day in range(22)]
    said = say(read_trend(scored, grain=1.0, ended=True), LIKING)
    assert not any(character == "." and text[at + 1 : at + 2].isdigit()
                   for text in said.sentences for at, character in enumerate(text))  # fmt: skip
    assert said.sums is not None
    for part in ("tau-b is 1;", "2.02 are needed", "Hamed and Rao 1998", "Lan and DeMets 1983"):
        assert part in said.sums


@pytest.mark.parametrize(
    ("values", "same", "moved"),
    [
        ([14.0, 14.1, 14.2, 14.1, 14.2, 14.3], 0.2, False),
        ([14.0, 14.2, 14.4, 14.6, 14.8, 15.0], 0.2, True),
        ([15, 14, 15, 14, 15, 14], 0.2, False),
        ([14, 14, 14, 14, 14, 16], 0.2, False),
        ([14, 14, 14, 14, 16, 16], 0.2, True),
        ([14, None, 14, None, 16, 16], 0.2, False),
        ([None] * 6, 0.2, False),
        (["a", "a", "a", "b", "b", "b"], 0.0, True),
        (["a", "b", "a", "b", "b", "a"], 0.0, False),
        (["a", "a", "", "", "b", "b"], 0.0, False),
        ([7, 7, "7 b", 9, 9, 9], 0.0, True),
    ],
)
def test_a_setting_moved_along_if_two_cups_or_more_went_one_way(values, same, moved):
    assert moved_along(range(6), {"it": (values, same)}) == (["it"] if moved else [])
