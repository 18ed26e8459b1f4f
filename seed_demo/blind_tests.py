"""The household's blind tests: two ended by their rule, two still going on.

Which answers are right is fixed here, so that the tests give the same result in every demo; the
keys are drawn.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from hashlib import sha256
from random import Random
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.blind.afterthoughts import keep_afterthought
from app.models import BlindTaster, BlindTest, Taster, Trial
from app.models.blind_after import AfterthoughtValues
from app.sensory.blind.serving import Serving, brewing_order, draw, places
from app.sensory.terms import Brewing, Claim, End, Letter, Method
from seed_demo.household import ZONE
from seed_demo.kitchen import Brewed

HELPERS_PHONE = sha256(b"the helper's phone").hexdigest()
TASTERS_PHONE = sha256(b"the taster's phone").hexdigest()
UNASKED = ("preference", "A-not-A")  # whether the taster is sure


@dataclass(frozen=True, slots=True)
class PlannedTest:
    """A test with its trials, the last of them `days_ago`.

    `trials` has a letter for each: R right and sure, r right, W wrong and sure, w wrong; in a
    preference the cup preferred, A or B, or - for none. `afterwards` is said after the last reveal.
    """

    title: str
    a_words: str
    b_words: str
    method: Method
    taster: str
    trials: str
    days_ago: int
    claim: Claim = "these ways of brewing"
    brewing: Brewing = "fresh pair each trial"
    attribute: str = ""
    more: Letter | None = None
    ended: End | None = None
    note: str = ""
    afterwards: AfterthoughtValues | None = None

    def mornings(self, end_on: date, rng: Random) -> list[datetime]:
        """When each trial is drawn: every other morning."""
        count = len(self.trials)
        days = [end_on - timedelta(days=self.days_ago + 2 * n) for n in range(count)][::-1]
        return [at(day, 8, rng.randint(5, 20)) for day in days]


MILLS = PlannedTest(
    "Hand mill or electric",
    "Ground by hand",
    "Ground by the electric mill",
    "triangle",
    "Ivo",
    "RwrRrRR",
    0,
    claim="these cups",
    brewing="one pair",
    ended="shown",
    note="One pair of cups, sips of each from small glasses. Nell poured.",
    afterwards=AfterthoughtValues(
        preference="a", note="By hand it is clearer, now that I look for it. Then again, I know."
    ),
)
MUG = PlannedTest(
    "Warm mug or cold mug",
    "In a mug warmed with hot water",
    "In a mug from the shelf",
    "preference",
    "Nell",
    "AAA-AAAAA",
    26,
    ended="shown",
    note="Ivo brewed in both presses and poured; Nell kept her eyes shut and her hands away.",
)
STIR = PlannedTest(
    "Stirred or left alone",
    "Stirred to the bottom",
    "Left alone",
    "A-not-A",
    "Ivo",
    "wrrrwrrrrrrrr",
    2,
    brewing="every cup its own",
    note="One cup a morning. Nell reads from the card whether to stir, and lets nobody watch.",
)
KETTLE = PlannedTest(
    "Boiling or after a pause",
    "Poured straight off the boil",
    "Poured after a pause of some minutes",
    "paired",
    "Nell",
    "rwRwrwWrr",
    1,
    attribute="bitterness",
    more="A",
)


@dataclass(frozen=True, slots=True)
class Held:
    """A test as it was held: its trials drawn at these moments; `cups` are the pair it is of."""

    plan: PlannedTest
    drawn: list[datetime]
    cups: tuple[Brewed, Brewed] | None = None


def add_blind_tests(
    session: Session, held: Sequence[Held], tasters: dict[str, Taster], rng: Random
) -> list[BlindTest]:
    """The tests with their trials."""
    tests = [_test(one, rng) for one in held]
    session.add_all(tests)
    session.flush()
    pairs = list(zip(held, tests, strict=True))
    session.add_all(
        BlindTaster(test_id=test.id, taster_id=tasters[one.plan.taster].id, joined_at=test.made_at)
        for one, test in pairs
    )
    session.flush()
    for one, test in pairs:
        used: list[str] = []
        trials = enumerate(zip(one.plan.trials, one.drawn, strict=True), start=1)
        session.add_all(
            Trial(
                test_id=test.id,
                taster_id=tasters[one.plan.taster].id,
                number=number,
                **_trial(one.plan, letter, start, used, rng),
            )
            for number, (letter, start) in trials
        )
    session.flush()  # no trial is drawn for a test that has ended
    for one, test in pairs:
        if one.plan.afterwards:
            last = select(Trial.id).where(Trial.test_id == test.id, Trial.number == len(one.drawn))
            said = one.plan.afterwards
            at_the_table = one.drawn[-1] + timedelta(minutes=9)
            keep_afterthought(session, session.scalars(last).one(), said, at_the_table)
        test.ended = one.plan.ended
        test.stopped_at = one.drawn[-1] + timedelta(minutes=20) if one.plan.ended else None
    return tests


def _test(held: Held, rng: Random) -> BlindTest:
    plan, cups = held.plan, held.cups
    return BlindTest(
        entry_key=str(UUID(int=rng.getrandbits(128), version=4)),
        title=plan.title,
        made_at=held.drawn[0] - (timedelta(minutes=6) if cups else timedelta(hours=12)),
        a_words=plan.a_words,
        b_words=plan.b_words,
        a_brew_id=cups[0].brew.id if cups else None,
        b_brew_id=cups[1].brew.id if cups else None,
        claim=plan.claim,
        brewing=plan.brewing,
        method=plan.method,
        attribute=plan.attribute,
        more=plan.more,
        pouring="helper",
        rule="every morning",
        p_d=0.4,
        note=plan.note,
    )


def _trial(
    plan: PlannedTest, letter: str, start: datetime, used: list[str], rng: Random
) -> dict[str, Any]:
    """The columns of a trial drawn, poured, answered and revealed; of one pair within minutes."""
    served = draw(plan.method, rng, more=plan.more or "B", avoid=used)
    used.extend(served.codes)
    sips, fresh_pair = plan.brewing == "one pair", plan.brewing == "fresh pair each trial"
    served_after, answered_after = (2, 4) if sips else (12, 16)
    return {
        "pouring": "helper",
        "cups": "".join(served.cups),
        "codes": " ".join(served.codes),
        "brewed_first": brewing_order(rng)[0] if fresh_pair else None,
        "drawn_at": start,
        "claimed_at": start + timedelta(minutes=1),
        "poured_by": HELPERS_PHONE,
        "served_at": start + timedelta(minutes=served_after),
        "answered_at": start + timedelta(minutes=answered_after),
        "answered_by": TASTERS_PHONE,
        "answer": _answer(served, letter),
        "sure": None if plan.method in UNASKED else letter.isupper(),
        "seen_at": start + timedelta(minutes=answered_after),
    }


def _answer(served: Serving, letter: str) -> int:
    """The place answered with, from 1; 0 is no preference."""
    if served.key is None:
        return 0 if letter == "-" else 1 + served.cups.index("A" if letter == "A" else "B")
    wrong = next(place for place in places(served.method) if place != served.key)
    return 1 + (served.key if letter in "Rr" else wrong)


def at(day: date, hour: int, minute: int) -> datetime:
    return datetime.combine(day, time(hour, minute), ZoneInfo(ZONE)).astimezone(UTC)
