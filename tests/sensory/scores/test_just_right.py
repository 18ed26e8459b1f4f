"""Just-right answers in words, and counted below, at and above just right (ASTM MNL63)."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from app.sensory.scores.just_right import in_words, shares
from app.sensory.scores.scales import JUST_RIGHT_ATTRIBUTES

answered = st.fixed_dictionaries(
    {name: st.none() | st.integers(1, 5) for name in JUST_RIGHT_ATTRIBUTES}
)


def test_what_was_right_is_said_first_then_too_little_then_too_much() -> None:
    answers = {"clarity": 3, "body": 3, "acidity": 4, "strength": 1, "sweetness": 2}
    assert in_words(answers) == (
        "Just right: body, clarity. A little too little: sweetness. Much too little: strength. "
        "A little too much: acidity."
    )
    assert in_words({"body": None}) == in_words({}) == ""


def test_shares_of_a_worked_example() -> None:
    """Ten cups: body 1, 2, 2, 3, 3, 3, 3, 4, 5 and one not answered."""
    cups: list[dict[str, int | None]] = [
        {"body": step} for step in (1, 2, 2, 3, 3, 3, 3, 4, 5, None)
    ]
    (body,) = shares(cups)
    assert (body.attribute, body.too_little, body.right, body.too_much) == ("body", 3, 4, 2)
    assert body.answers == 9


@given(st.lists(answered))
def test_every_answer_is_counted_once(cups: list[dict[str, int | None]]) -> None:
    counted = {one.attribute: one.answers for one in shares(cups)}
    for name in JUST_RIGHT_ATTRIBUTES:
        assert counted.get(name, 0) == sum(cup[name] is not None for cup in cups)
