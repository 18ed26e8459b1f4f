"""Blind tests: of preference between two recipes each, and of whether two papers taste alike."""

from __future__ import annotations

from datetime import timedelta
from random import Random
from uuid import UUID

from tests.benchmarks.rows import LAST, Row
from tests.benchmarks.rows_gear import REVISIONS

PREFERENCES, TRIANGLES = 6, 54  # more than a page of the list has
TRIALS = 12
OPEN_TEST, OPEN_TRIALS = 7, 40  # a triangle, its last trial waits for somebody to pour
ODD_PLACE = {"AAB": 3, "ABA": 2, "BAA": 1, "ABB": 1, "BAB": 2, "BBA": 3}
TOLD_APART = range(8, 20)  # tests in which every answer was right


def blind_tests(rng: Random) -> dict[str, list[Row]]:
    """All by one taster."""
    numbers = range(1, PREFERENCES + TRIANGLES + 1)
    return {
        "blind_test": [_test(n, rng) for n in numbers],
        "blind_taster": [{"test_id": n, "taster_id": 1, "joined_at": LAST} for n in numbers],
        "trial": [one for n in numbers for one in _trials(n, rng)],
    }


def given_up() -> list[Row]:
    """How the tests ended that are not open: noted after their trials, of which an ended test gets
    no more."""
    return [
        {
            "id": n,
            "ended": "shown" if n in TOLD_APART else "stopped",
            "stopped_at": LAST - timedelta(days=n) + timedelta(hours=1),
            "stopped_why": "" if n in TOLD_APART else "The beans are used up.",
        }
        for n in range(OPEN_TEST + 1, PREFERENCES + TRIANGLES + 1)
    ]


def _test(n: int, rng: Random) -> Row:
    of_all = {
        "id": n,
        "entry_key": str(UUID(int=rng.getrandbits(128), version=4)),
        "made_at": LAST - timedelta(days=n),
        "claim": "these ways of brewing",
        "brewing": "fresh pair each trial",
        "pouring": "helper",
        "rule": "every morning",
        "p_d": 0.4,
    }
    if n > PREFERENCES:
        words = {"title": f"Fresh or used {n}", "a_words": "fresh paper", "b_words": "used paper"}
        own = {"method": "triangle", "brewing": "every cup its own"}
        return of_all | words | own | {"a_revision_id": None, "b_revision_id": None}
    return of_all | {
        "title": f"Recipe {n} or {n + 1}",
        "a_words": f"Recipe {n}",
        "a_revision_id": n * REVISIONS,
        "b_words": f"Recipe {n + 1}",
        "b_revision_id": (n + 1) * REVISIONS,
        "method": "preference",
    }


def _trials(test: int, rng: Random) -> list[Row]:
    if test != OPEN_TEST:
        return [_trial(test, number, rng) for number in range(1, TRIALS + 1)]
    *answered, last = (_trial(test, number, rng) for number in range(1, OPEN_TRIALS + 1))
    waits = dict.fromkeys(
        ("claimed_at", "poured_by", "served_at", "answered_at", "answered_by", "answer", "seen_at")
    )
    return [*answered, last | waits]


def _trial(test: int, number: int, rng: Random) -> Row:
    at = LAST - timedelta(days=test) + timedelta(minutes=number)
    triangle = test > PREFERENCES
    cups = rng.choice(tuple(ODD_PLACE) if triangle else ("AB", "BA"))
    answer = rng.choice((1, 2, 3) if triangle else (0, 1, 1, 2, 2))
    return {
        "test_id": test,
        "taster_id": 1,
        "number": number,
        "pouring": "helper",
        "cups": cups,
        "codes": "417 902 658" if triangle else "417 902",
        "brewed_first": None if triangle else "A",
        "drawn_at": at,
        "claimed_at": at,
        "poured_by": "a" * 64,
        "served_at": at,
        "answered_at": at,
        "answered_by": "b" * 64,
        "answer": ODD_PLACE[cups] if test in TOLD_APART else answer,
        "seen_at": at,
    }
