"""Steps of a blind test as people take them, and rows of one at any stage."""

from __future__ import annotations

from datetime import timedelta
from types import SimpleNamespace
from typing import Any
from uuid import uuid4

from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.blind.keys import answers, is_right
from app.models import BlindTaster, BlindTest, Taster, Trial
from tests.support.clock import NOON
from tests.support.factories import Make

PLAN: dict[str, Any] = {
    "a_words": "fresh paper",
    "b_words": "paper on its third use",
    "claim": "these cups",
    "brewing": "one pair",
    "method": "triangle",
    "more": "B",
    "rule": "every morning",
    "p_d_pct": "40",
    "pouring": "helper",
    "new_taster": "Juniper",
}
ROW: dict[str, Any] = {
    "title": "Papers",
    "made_at": NOON,
    "a_words": "fresh paper",
    "b_words": "third use",
    "claim": "these cups",
    "brewing": "one pair",
    "method": "triangle",
    "pouring": "helper",
    "rule": "every morning",
    "p_d": 0.4,
}
CLAIMED = {"claimed_at": NOON, "poured_by": "a" * 64}
SERVED = {"served_at": NOON}
ANSWERED = {"answered_at": NOON, "answered_by": "b" * 64, "answer": 2, "sure": True}
SEEN = {"seen_at": NOON}
CODES = {1: "417", 2: "417 658", 3: "417 658 293", 4: "417 658 293 846"}


def planned(client: FlaskClient, **typed: Any) -> int:
    """Plan a test through its form; gives its number."""
    answer = client.post("/blind/new", data=PLAN | typed)
    assert answer.status_code == 303, answer.text
    return int(answer.location.rsplit("/", 1)[1])


def next_trial(client: FlaskClient, test_id: int, **typed: Any) -> int:
    answer = client.post(f"/blind/{test_id}/next", data=typed)
    assert answer.location.startswith("/blind/trials/"), answer.location
    return int(answer.location.rsplit("/", 1)[1])


def pour(client: FlaskClient, trial_id: int) -> None:
    client.post(f"/blind/trials/{trial_id}/claim")
    client.post(f"/blind/trials/{trial_id}/served")


def trial(journal: Database, trial_id: int) -> Trial:
    with Session(journal.reader) as session:
        return session.get_one(Trial, trial_id)


def blind_test(journal: Database, test_id: int) -> BlindTest:
    with Session(journal.reader) as session:
        return session.get_one(BlindTest, test_id)


def right_places(journal: Database, trial_id: int) -> list[int]:
    """The places that are right in a trial poured by somebody else (all the same in a control)."""
    row = trial(journal, trial_id)
    test = blind_test(journal, row.test_id)
    return [
        place
        for place in answers(test.method)
        if is_right(
            test.method,
            test.more,
            SimpleNamespace(pouring="helper", cups=row.cups, answer=place, lifted=None),
        )
    ]


def one_trial(
    client: FlaskClient, journal: Database, test_id: int, right: bool, sure: str = "yes"
) -> int:
    """A whole trial poured and answered in one browser, right or wrong as asked."""
    trial_id = next_trial(client, test_id)
    pour(client, trial_id)
    test = blind_test(journal, test_id)
    good = right_places(journal, trial_id)
    place = next(p for p in answers(test.method) if (p in good) == right)
    client.post(f"/blind/trials/{trial_id}/answer", data={"place": place, "sure": sure})
    return trial_id


def rows(make: Make, trials: list[dict[str, Any]], **plan: Any) -> tuple[BlindTest, list[Trial]]:
    """A test with trials given by their columns, each drawn a minute after the one before."""
    ended = {
        name: plan.pop(name) for name in ("ended", "stopped_at", "stopped_why") if name in plan
    }
    test = make.save(BlindTest(**ROW | {"entry_key": str(uuid4())} | plan))
    taster = make.save(Taster(name="Juniper"))
    make.save(BlindTaster(test_id=test.id, taster_id=taster.id, joined_at=NOON))
    made = []
    for number, given in enumerate(trials, start=1):
        at = NOON + timedelta(minutes=number)
        sealed = {"pouring": test.pouring, "cups": "AAB", "drawn_at": at, "number": number}
        codes = {} if test.pouring == "solo" else {"codes": CODES[len(given.get("cups", "AAB"))]}
        column = {"test_id": test.id, "taster_id": taster.id} | sealed | codes | given
        made.append(make.save(Trial(**column)))
    for name, value in ended.items():
        setattr(test, name, value)
    return make.save(test), made


def all_trials(journal: Database) -> list[Trial]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(Trial).order_by(Trial.id)))
