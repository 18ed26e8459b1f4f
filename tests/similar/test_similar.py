"""Suggestions of alike asks: mostly right, and silent where they do not know."""

from __future__ import annotations

import pytest

from app.journal.asks.similar import likeness, shared_topics, suggest
from app.journal.asks.wording import topics_of
from tests.similar.measured import LISTS, groups_in, measure


@pytest.mark.parametrize("name", LISTS)
def test_nine_of_ten_pairs_suggested_are_right_and_seven_of_ten_are_found(name: str) -> None:
    found = measure(groups_in(name))
    assert (found.asks, found.groups) == (60, 15)
    assert found.precision >= 0.9, found.wrong
    assert found.recall >= 0.7, found.missed


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Two papers or one?", "is a secnod FILTER any better than one??"),
        ("Does the stir matter?", "Is it better not to stir?"),
        ("Steep for how long?", "how many minutes of steeping"),
        ("Grind coarser?", "fine or coarse grind"),
        ("Does it need stirring?", "What if you don’t stir, would anybody in the pub notice?"),
        ("How hard should I push?", "Is pushing harder worse?"),
        ("92 or 96 degrees?", "is 85 °C too cool"),
        ("How long do frozen beans last?", "Can beans be ground straight from the freezer?"),
    ],
)
def test_slips_other_words_and_negations_of_one_question_meet(one: str, other: str) -> None:
    assert [sorted(places) for places in suggest([one, other])] == [[0, 1]]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Two papers or one?", "Can a paper be used twice?"),
        ("Can a paper be used again?", "Metal or paper?"),
        ("Should I rinse the paper?", "Metal or paper?"),
        ("How fine should I grind?", "Which grinder should I buy?"),
        ("How hot must the water be?", "Is tap water good enough?"),
        ("How long should it steep?", "How long may a bag be open?"),
        ("How hard should I push?", "Is hard water bad?"),
        ("Which setting do you use?", "wetting the paper, yes or no?"),
        ("Do I need a water filter?", "Do I need a paper filter?"),
        ("Hello!", "Thank you very much!"),
        ("???", "!!!"),
    ],
)
def test_near_misses_stay_apart(one: str, other: str) -> None:
    assert suggest([one, other]) == []


def test_one_ask_between_two_others_does_not_tie_them_together() -> None:
    texts = ["rinse the paper", "rinse the paper or use it again", "use the paper again"]
    assert all(len(places) < 3 for places in suggest(texts))


def test_what_is_about_nothing_known_is_alike_word_for_word_only() -> None:
    assert likeness("Is it worth it?", "worth it, is it?") == 1.0
    assert likeness("Is it worth it?", "What is wrong with it?") == 0.0


def test_the_first_of_a_group_is_closest_to_the_others_and_says_what_they_share() -> None:
    texts = ["paper again, but bitter and muddy?", "Use a paper again?", "a paper used again"]
    (places,) = suggest(texts)
    assert places[0] in (1, 2)
    assert shared_topics(texts) == ["paper", "used again"]


@pytest.mark.parametrize("text", ["", " ", "\x00", "x" * 3000, "☕" * 300, "ｐａｐｅｒ", "é" * 999])
def test_any_text_can_be_compared(text: str) -> None:
    topics_of(text)
    assert 0.0 <= likeness(text, "Two papers or one?") <= 1.0
    assert suggest([text, text, "Two papers or one?"]) is not None
