"""Ten tabs, each with a form of its own, press at the same moment: one does it, none fails."""

from __future__ import annotations

from collections import Counter
from threading import Event, Thread
from uuid import uuid4

import pytest
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import Database
from app.file.refused import JournalBusy
from app.models import Brew, Change, Question, QuestionBrew, Trial
from tests.reliability.test_writers import address as address
from tests.reliability.test_writers import at_once
from tests.support.blind import rows
from tests.support.caller import Caller
from tests.support.clock import NOON
from tests.support.factories import Make
from tests.support.page import form

TABS = 10


def _count(journal: Database, what: type) -> int:
    with Session(journal.reader) as session:
        return session.scalar(select(func.count()).select_from(what)) or 0


def _press(address: str, page: str, holding: str, to: str, **typed: str) -> list[int]:
    """What each tab is answered."""
    caller = Caller(address)
    held = form(caller.get(page), holding=holding) | {n: [text] for n, text in typed.items()}
    return at_once(TABS, lambda _: caller.post(to, held | {"entry_key": [str(uuid4())]}))


def test_one_change_is_saved_and_the_others_are_told(
    address: str, make: Make, journal: Database
) -> None:
    """C2: also where all of them read the same version before any of them wrote."""
    make.brew(note="as logged")
    caller = Caller(address)
    held = form(caller.get("/brews/1/edit"), holding="seen")

    def save(number: int) -> int:
        own = {"entry_key": [str(uuid4())], "note": [f"tab {number}"]}
        return caller.post("/brews/1/edit", held | own)

    assert Counter(at_once(TABS, save)) == {303: 1, 409: TABS - 1}
    assert _count(journal, Change) == 1
    with Session(journal.reader) as session:
        assert session.scalars(select(Brew.note)).one().startswith("tab ")


@pytest.mark.parametrize("step", ["next", "deal"])
def test_one_trial_is_drawn_for_a_taster(
    address: str, make: Make, journal: Database, step: str
) -> None:
    rows(make, [], several_tasters=step == "deal")
    answers = _press(address, "/blind/1", "csrf_token", f"/blind/1/{step}")
    assert answers == [303] * TABS
    assert _count(journal, Trial) == 1


def test_a_brew_is_put_under_a_question_once(address: str, make: Make, journal: Database) -> None:
    make.brew()
    make.save(Question(text="Does it matter?", asked_at=NOON))
    typed = {"question_id": "1", "kind": "brew", "row_id": "1"}
    answers = _press(address, "/questions/1", "answer", "/questions/tie", **typed)
    assert answers == [303] * TABS
    assert _count(journal, QuestionBrew) == 1


def test_writers_refused_in_words_hold_nobody_up(journal: Database) -> None:
    """A clash is no stuck disk: whoever waits behind nine of them gets a turn all the same."""
    done: list[str] = []

    def clash() -> None:
        try:
            with journal.writing():
                Event().wait(0.2)
                raise ValueError("somebody else changed it")
        except (ValueError, JournalBusy) as refused:
            done.append(type(refused).__name__)

    threads = [Thread(target=clash) for _ in range(10)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert done == ["ValueError"] * 10
