"""Questions with what is gathered under them, asks, and sittings that were run."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta
from random import Random
from uuid import UUID

from tests.benchmarks.rows import BIG_BAG, LAST, PAIRS, Row
from tests.benchmarks.rows_blind import OPEN_TEST, PREFERENCES, TRIANGLES

QUESTIONS, ASKS, SITTINGS = 120, 300, 55  # lists of more than a page, an inbox of 100
FULL_QUESTION = 1
FULL = {"brews": 20, "pairs": 12, "tests": 4}
GROUPS = "a-material=paper&a-use_to=1&b-material=paper&b-use_from=2"
ABOUT = (
    ("a paper that is used again", "use of the filter"),
    ("one more stir", "stirs"),
    ("boiling water", "water temperature"),
    ("a longer steep", "steep"),
    ("water from the jug", "kettle water"),
    ("a finer grind", "grinder setting"),
    ("an older bag", "days of rest"),
    ("a gram more", "dose"),
)
TASTES = ("taste", "change the cup", "make it clearer", "make it heavier", "cost any sweetness")
SOURCES = ("letters", "the evening class", "the market", "")


def asked(brews: Sequence[Row], rng: Random) -> dict[str, list[Row]]:
    """All families, in the order in which they need each other."""
    there = [brew["id"] for brew in brews[-800:] if brew["binned_at"] is None]
    of_bag = [brew["id"] for brew in brews if brew["bag_id"] == BIG_BAG and not brew["binned_at"]]
    numbers = range(1, QUESTIONS + 1)
    return {
        "question": [_question(n) for n in numbers],
        "ask": [_ask(n, rng) for n in range(1, ASKS + 1)],
        "question_brew": [
            {"question_id": n, "brew_id": brew}
            for n in numbers
            for brew in (of_bag[: FULL["brews"]] if _is_full(n) else rng.sample(there, 2))
        ],
        "question_side_by_side": [
            {"question_id": n, "side_by_side_id": pair}
            for n in numbers
            for pair in rng.sample(range(1, PAIRS + 1), FULL["pairs"] if _is_full(n) else 1)
        ],
        "question_blind_test": [
            {"question_id": n, "test_id": test, "tied_at": LAST - timedelta(days=100)}
            for n in numbers
            for test in _tests(n)
        ],
        "question_groups": [
            {
                "question_id": FULL_QUESTION, "query": GROUPS, "tied_at": LAST,
                "words": "1st use, paper filter against 2nd use and later, paper filter",
                "said": "A was liked as much as B.",
            }
        ],
    } | _sittings(there, rng)  # fmt: skip


def _is_full(question: int) -> bool:
    return question == FULL_QUESTION


def _tests(question: int) -> range:
    if _is_full(question):
        return range(OPEN_TEST, OPEN_TEST + FULL["tests"])
    return range(question, question + 1) if PREFERENCES < question <= TRIANGLES else range(0)


def _question(n: int) -> Row:
    about, label = ABOUT[n % len(ABOUT)]
    answered = n % 3 == 1
    at = LAST - timedelta(days=2 * n)
    return {
        "id": n,
        "text": f"Does {about} {TASTES[n % len(TASTES)]}, no. {n}?",
        "factors": [label],
        "asked_at": at,
        "state": "answered" if answered else "open",
        "answer": "Not so that one would notice, with these beans." if answered else "",
        "answered_at": at + timedelta(days=1) if answered else None,
    }


def _ask(n: int, rng: Random) -> Row:
    about, _ = ABOUT[rng.randrange(len(ABOUT))]
    return {
        "text": f"Would {about} {rng.choice(TASTES)}? My cup no. {n} is {rng.choice(TASTES)}.",
        "asked_on": (LAST - timedelta(days=n)).date(),
        "source": rng.choice(SOURCES),
        "noted_at": LAST - timedelta(days=n),
        "question_id": None if n % 3 == 0 else rng.randint(1, QUESTIONS),
    }


def _sittings(there: Sequence[int], rng: Random) -> dict[str, list[Row]]:
    """Two questions each, a pair of cups for each; the newest was left after its first pair."""
    numbers = range(1, SITTINGS + 1)
    asked = range(1, 2 * SITTINGS + 1)
    cups = [(one, letter) for one in asked for letter in "AB"]
    lines = [line for one in asked for line in _lines(one)]
    return {
        "sitting": [
            {
                "id": n,
                "entry_key": str(UUID(int=rng.getrandbits(128), version=4)),
                "planned_at": LAST - timedelta(days=SITTINGS - n),
                "ended_at": None if n == SITTINGS else LAST - timedelta(days=SITTINGS - n - 1),
            }
            for n in numbers
        ],
        "sitting_question": [
            {
                "id": one, "sitting_id": _sitting(one), "place": 2 - one % 2, "pair": True,
                "question_id": 2 + one,
            }
            for one in asked
        ],
        "sitting_cup": [
            {
                "id": n, "sitting_question_id": one, "letter": letter, "like_id": there[one],
                "changes": {"stirs": 2} if letter == "B" else {},
            }
            for n, (one, letter) in enumerate(cups, start=1)
        ],
        "sitting_filter": [
            {"cup_id": n, "position": 1, "pack_id": 2, "use_number": None}
            for n in range(1, len(cups) + 1)
        ],
        "sitting_line": lines,
        "sitting_brew": [one for line in lines for one in _brews(line, there)],
    }  # fmt: skip


def _sitting(asked: int) -> int:
    return (asked + 1) // 2


def _lines(asked: int) -> Iterator[Row]:
    first = 0 if asked % 2 else 4
    kinds = (("brew", 410), ("cool", 295), ("taste", 290), ("rest", 75))
    for n, (kind, lasts_s) in enumerate(kinds):
        tastes = kind in ("cool", "taste")
        yield {
            "id": 4 * (asked - 1) + n + 1,
            "sitting_id": _sitting(asked),
            "place": first + n + 1,
            "sitting_question_id": asked,
            "kind": kind,
            "lasts_s": lasts_s,
            "of_place": first + 1 if tastes else None,
            "cups": 2 if tastes else 0,
            "says": "Rinse your mouth." if kind == "rest" else "",
        }


def _brews(line: Row, there: Sequence[int]) -> Iterator[Row]:
    if line["kind"] != "brew":
        return
    made = line["sitting_id"] < SITTINGS or line["place"] == 1
    for n, letter in enumerate("AB"):
        yield {
            "line_id": line["id"],
            "place": n + 1,
            "letter": letter,
            "brew_id": there[2 * line["sitting_question_id"] + n] if made else None,
            "made_at": LAST - timedelta(days=SITTINGS - line["sitting_id"]) if made else None,
        }
