"""Words of a picture: how wide they are taken to be, and where they are parted and cut."""

from __future__ import annotations

import pytest

from app.charts.still.letters import BREAK, label, lines, literal, plain, width, wrapped
from app.charts.still.signs import Signs

TOLD = "A by immersion, B by percolation with bypass: two different sums"


def test_lines_keep_to_the_room_and_lose_no_word() -> None:
    parted = wrapped(TOLD, 200)
    assert width(parted) <= 200
    assert lines(parted) > 1
    assert parted.replace(BREAK, " ") == TOLD


def test_parting_again_with_other_room_is_as_parting_once() -> None:
    assert wrapped(wrapped(TOLD, 120), 260) == wrapped(TOLD, 260)


def test_a_name_too_long_for_its_lines_is_cut() -> None:
    cut = label("Grandma’s Nordwesthanglagenparzellenauslese of the year", 100)
    assert lines(cut) == 2
    assert cut.endswith("…")
    assert width(cut) <= 100
    assert label("cloth", 100) == "cloth"


def test_two_lines_are_as_wide_as_the_wider_one() -> None:
    assert width(f"ii{BREAK}mmmm") == width("mmmm") > width("iiii")


def test_markup_becomes_text_and_text_stays_text() -> None:
    typed = "1 < 2 & <b>&lt;"
    assert plain(literal(typed)) == "1 &lt; 2 &amp; &lt;b&gt;&amp;lt;"
    assert plain("a\x00b\u202e") == "ab"


@pytest.mark.parametrize(
    ("value", "step", "said"),
    [
        (0.1 + 0.2, 0.1, "0,3"),
        (-2.0, 1.0, "−2"),
        (-1e-17, 0.5, "0,0"),
        (12_000.0, 2_000.0, "12000"),
        (4e12, 1e12, "4e12"),
        (1.25, 0.05, "1,25"),
    ],
)
def test_numbers_have_the_digits_of_their_step(value: float, step: float, said: str) -> None:
    assert Signs(",").number(value, step) == said
