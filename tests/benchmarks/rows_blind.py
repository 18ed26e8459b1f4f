"""Blind preference tests of two recipes each, answered."""

from __future__ import annotations

from datetime import timedelta
from random import Random
from uuid import UUID

from tests.benchmarks.rows import LAST, Row
from tests.benchmarks.rows_gear import REVISIONS

TESTS, TRIALS = 6, 12


def preference_tests(rng: Random) -> dict[str, list[Row]]:
    """Tests in turn of neighbouring recipes, by one taster."""
    return {
        "blind_test": [_test(n, rng) for n in range(1, TESTS + 1)],
        "blind_taster": [
            {"test_id": n, "taster_id": 1, "joined_at": LAST} for n in range(1, TESTS + 1)
        ],
        "trial": [
            _trial(test, number, rng)
            for test in range(1, TESTS + 1)
            for number in range(1, TRIALS + 1)
        ],
    }


def _test(n: int, rng: Random) -> Row:
    return {
        "id": n,
        "entry_key": str(UUID(int=rng.getrandbits(128), version=4)),
        "title": f"Recipe {n} or {n + 1}",
        "made_at": LAST - timedelta(days=n),
        "a_words": f"Recipe {n}",
        "a_revision_id": n * REVISIONS,
        "b_words": f"Recipe {n + 1}",
        "b_revision_id": (n + 1) * REVISIONS,
        "claim": "these ways of brewing",
        "brewing": "fresh pair each trial",
        "method": "preference",
        "pouring": "helper",
        "rule": "every morning",
        "p_d": 0.4,
    }


def _trial(test: int, number: int, rng: Random) -> Row:
    at = LAST - timedelta(days=test) + timedelta(minutes=number)
    return {
        "test_id": test,
        "taster_id": 1,
        "number": number,
        "pouring": "helper",
        "cups": rng.choice(("AB", "BA")),
        "codes": "417 902",
        "brewed_first": "A",
        "drawn_at": at,
        "claimed_at": at,
        "poured_by": "a" * 64,
        "served_at": at,
        "answered_at": at,
        "answered_by": "b" * 64,
        "answer": rng.choice((0, 1, 1, 2, 2)),
        "seen_at": at,
    }
