"""The just-right profile of two cups."""

from __future__ import annotations

from plotly.graph_objects import Figure

from app.charts.just_right import just_right

WORDS = ("strength", "sweetness", "acidity")


def test_every_answer_stands_on_its_line() -> None:
    between, a, b = Figure(just_right(WORDS, [2, 3, 4.5], [3, 3, 1])).data
    assert list(zip(a.y, a.x, strict=True)) == [("strength", 2), ("sweetness", 3), ("acidity", 4.5)]
    assert list(zip(b.y, b.x, strict=True)) == [("strength", 3), ("sweetness", 3), ("acidity", 1)]
    assert between.x == (2, 3, None, 3, 3, None, 4.5, 1, None)


def test_an_unanswered_scale_is_left_out() -> None:
    between, a, b = Figure(just_right(WORDS, [2, None, 3], [None, None, 4])).data
    assert a.y == ("strength", "acidity")
    assert b.y == ("acidity",)
    assert between.y == ("acidity", "acidity", None)


def test_letters_stand_on_the_outer_side_so_that_both_can_be_read() -> None:
    _, a, b = Figure(just_right(WORDS, [2, 3, 4], [3, 3, 1])).data
    assert a.textposition == ("middle left", "middle left", "middle right")
    assert b.textposition == ("middle right", "middle right", "middle left")


def test_the_first_attribute_is_on_top_and_the_ends_are_named() -> None:
    layout = just_right(WORDS, [2, 3, 4], [3, 3, 1])["layout"]
    assert layout["yaxis"]["categoryarray"] == ["acidity", "sweetness", "strength"]
    assert layout["xaxis"]["ticktext"][2] == "just right"
    assert "too little" in layout["xaxis"]["title"]["text"]
