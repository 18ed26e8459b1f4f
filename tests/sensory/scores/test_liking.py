from app.sensory.scores.scales import (
    JUST_RIGHT_ATTRIBUTES,
    JUST_RIGHT_DEFINITIONS,
    JUST_RIGHT_LABELS,
    LIKING_LABELS,
)


def test_the_nine_points_are_those_of_1957():
    assert list(LIKING_LABELS.items()) == [
        (1, "dislike extremely"),
        (2, "dislike very much"),
        (3, "dislike moderately"),
        (4, "dislike slightly"),
        (5, "neither like nor dislike"),
        (6, "like slightly"),
        (7, "like moderately"),
        (8, "like very much"),
        (9, "like extremely"),
    ]


def test_just_right_is_the_middle_of_five_for_six_attributes():
    assert list(JUST_RIGHT_LABELS) == [1, 2, 3, 4, 5]
    assert JUST_RIGHT_LABELS[3] == "just right"
    assert JUST_RIGHT_ATTRIBUTES == (
        "strength",
        "sweetness",
        "acidity",
        "bitterness",
        "body",
        "clarity",
    )
    assert all(JUST_RIGHT_DEFINITIONS[name].endswith(".") for name in JUST_RIGHT_ATTRIBUTES)
