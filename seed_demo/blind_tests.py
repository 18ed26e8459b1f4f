"""Two blind tests of the household: one ended by its rule, one still going on.

Which answers are right is fixed here, so that the tests give the same result in every demo; the
keys are drawn.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from hashlib import sha256
from random import Random
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from app.models import BlindTaster, BlindTest, Taster, Trial
from app.sensory.blind.serving import brewing_order, draw
from app.sensory.terms import End
from seed_demo.household import ZONE

HELPERS_PHONE = sha256(b"the helper's phone").hexdigest()
TASTERS_PHONE = sha256(b"the taster's phone").hexdigest()


@dataclass(frozen=True, slots=True)
class PlannedTest:
    """A test of which of A and B has more of `attribute`, expected to be B.

    `trials` has a letter for each: R right and sure, r right, W wrong and sure, w wrong. The last
    was `days_ago`.
    """

    title: str
    a_words: str
    b_words: str
    attribute: str
    taster: str
    trials: str
    days_ago: int
    ended: End | None = None
    note: str = ""


METAL = PlannedTest(
    "Paper or metal",
    "Through a fresh paper",
    "Through the metal disc",
    "body",
    "Nell",
    "RrRwRRRrRRR",
    18,
    "shown",
    "Ivo poured, every other morning before work.",
)
USED = PlannedTest(
    "Fresh paper or third use",
    "The third use of a round paper",
    "A fresh round paper",
    "clarity",
    "Ivo",
    "rwRwrwWrr",
    1,
)


def add_blind_test(
    session: Session, plan: PlannedTest, tasters: dict[str, Taster], end_on: date, rng: Random
) -> BlindTest:
    """The test with its trials, one every other morning."""
    count = len(plan.trials)
    mornings = [end_on - timedelta(days=plan.days_ago + 2 * n) for n in range(count)][::-1]
    made_at = _at(mornings[0] - timedelta(days=1), 20, 15)
    test = BlindTest(
        entry_key=str(UUID(int=rng.getrandbits(128), version=4)),
        title=plan.title,
        made_at=made_at,
        a_words=plan.a_words,
        b_words=plan.b_words,
        claim="these ways of brewing",
        brewing="fresh pair each trial",
        method="paired",
        attribute=plan.attribute,
        more="B",
        pouring="helper",
        rule="every morning",
        p_d=0.4,
        note=plan.note,
    )
    session.add(test)
    session.flush()
    taster_id = tasters[plan.taster].id
    session.add(BlindTaster(test_id=test.id, taster_id=taster_id, joined_at=made_at))
    session.flush()
    used: list[str] = []
    for number, (letter, day) in enumerate(zip(plan.trials, mornings, strict=True), start=1):
        trial = _trial(letter, day, used, rng)
        session.add(Trial(test_id=test.id, taster_id=taster_id, number=number, **trial))
    session.flush()  # no trial is drawn for a test that has ended
    test.ended = plan.ended
    test.stopped_at = _at(mornings[-1], 8, 40) if plan.ended else None
    return test


def _trial(letter: str, day: date, used: list[str], rng: Random) -> dict[str, Any]:
    """The columns of a trial drawn, poured, answered and revealed on one morning."""
    served = draw("paired", rng, more="B", avoid=used)
    used.extend(served.codes)
    key = served.key or 0
    start = _at(day, 8, rng.randint(5, 20))
    return {
        "pouring": "helper",
        "cups": "".join(served.cups),
        "codes": " ".join(served.codes),
        "brewed_first": brewing_order(rng)[0],
        "drawn_at": start,
        "claimed_at": start + timedelta(minutes=1),
        "poured_by": HELPERS_PHONE,
        "served_at": start + timedelta(minutes=12),
        "answered_at": start + timedelta(minutes=16),
        "answered_by": TASTERS_PHONE,
        "answer": 1 + (key if letter in "Rr" else 1 - key),
        "sure": letter.isupper(),
        "seen_at": start + timedelta(minutes=16),
    }


def _at(day: date, hour: int, minute: int) -> datetime:
    return datetime.combine(day, time(hour, minute), ZoneInfo(ZONE)).astimezone(UTC)
