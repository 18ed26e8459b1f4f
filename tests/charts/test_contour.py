"""Lines of equal height: where they are, how many, and that they close."""

from math import hypot

import pytest

from app.charts.contour import Grid, TriedAt, contour, levels, lines_at

STEPS = [n / 10 - 1 for n in range(21)]


def over(height):
    return Grid(STEPS, STEPS, [[height(x, y) for x in STEPS] for y in STEPS])


def test_the_lines_of_a_slope_are_straight_and_run_from_side_to_side():
    (line,) = lines_at(over(lambda x, y: x), 0.33)
    assert [x for x, _ in line] == pytest.approx([0.33] * len(line))
    assert sorted((line[0][1], line[-1][1])) == [-1, 1]


def test_the_line_round_a_hill_is_a_closed_ring():
    (line,) = lines_at(over(lambda x, y: -(x * x) - y * y), -0.49)
    assert line[0] == line[-1]
    assert [hypot(*at) for at in line] == pytest.approx([0.7] * len(line), abs=0.01)


def test_the_two_lines_of_a_saddle_do_not_cross():
    lines = lines_at(over(lambda x, y: x * y), 0.2)
    assert len(lines) == 2
    for line in lines:
        assert all(x * y == pytest.approx(0.2, abs=0.01) for x, y in line)
        assert len({x > 0 for x, _ in line}) == 1


def test_a_flat_surface_has_no_line_and_a_steep_one_few():
    assert levels([[6.0, 6.0], [6.0, 6.0]]) == []
    assert levels([[4.2, 6.0], [5.0, 7.1]]) == [4.5, 5, 5.5, 6, 6.5, 7]
    assert len(levels([[1.0, 9.0], [1.0, 9.0]])) <= 7


def test_each_line_is_named_by_its_height_away_from_the_brews():
    tried = [TriedAt(0.0, 0.0, "6.0")]
    drawn = contour(over(lambda x, y: 6 + x), tried, (1.0, 0.0), x_title="x", y_title="y")
    notes = drawn["layout"]["annotations"]
    assert [note["text"] for note in notes] == ["5.5", "6", "6.5"]
    assert all(hypot(note["x"], note["y"]) > 0.2 for note in notes)
    assert [trace["name"] for trace in drawn["data"]][-1] == "highest"
