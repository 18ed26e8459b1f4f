"""Of blind tests the package holds the keys of what was revealed, and nothing of the others."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from datetime import timedelta

import pytest
from sqlalchemy import func, select, update
from sqlalchemy.orm import Session

from app.config import Config
from app.database import Database
from app.exchange.coming_in import remember_open_tests
from app.journal.blind.drawing import draw_trial, locked
from app.journal.blind.marks import marks_of
from app.journal.blind.open import trials_of
from app.journal.blind.put_back import mark_put_back
from app.models import (
    BlindPacket,
    BlindTest,
    BlindTestUse,
    JournalIdentity,
    LeftTrial,
    Trial,
    TrialBrew,
)
from app.seals import seals_of
from tests.exchange.conftest import NOW, files_of, into, out
from tests.support.blind import ANSWERED, CLAIMED, SEEN, SERVED, rows
from tests.support.clock import NOON
from tests.support.factories import Make

Another = Callable[[str], Database]
DONE = {**CLAIMED, **SERVED, **ANSWERED, **SEEN}
OPEN = (
    {},  # drawn
    CLAIMED,
    {**CLAIMED, **SERVED},
    {**CLAIMED, "voided_at": NOON, "void_reason": "Spilled"},
)
LATE = {**SERVED, **CLAIMED, **ANSWERED}


def _table(package: bytes, name: str) -> list[dict[str, str]]:
    text = files_of(package)[f"data/{name}.csv"].decode()
    return list(csv.DictReader(io.StringIO(text, newline="")))


@pytest.mark.parametrize("stage", OPEN)
@pytest.mark.parametrize("cups", ["AAB", "BAA"])
def test_two_journals_that_differ_in_a_sealed_key_only_write_the_same(
    another: Another, stage: dict[str, object], cups: str
) -> None:
    """Every byte of the package is compared, changes and packets included."""
    packages = []
    for key, packed in (("ABA", "A"), (cups, "B")):
        journal = another(key + packed)
        make = Make(journal)
        test, trials = rows(
            make,
            [{**DONE, "cups": "ABA"}, {**stage, "cups": key, "brewed_first": key[0]}],
            entry_key="the same",
            brewing="fresh pair each trial",
        )
        brew = make.brew()
        make.save(TrialBrew(trial_id=trials[1].id, brew_id=brew.id, cup=packed))
        paper = make.filter()
        make.save(BlindTestUse(test_id=test.id, brew_id=brew.id, filter_id=paper.id, number=1))
        packet = {"test_id": test.id, "packed_at": NOON, "packed_by": "a" * 64, "packed_from": ""}
        code = "417" if packed == "A" else "583"
        make.save(BlindPacket(**packet, code=code, cup=packed, covered_at=NOON))
        with journal.writing() as session:
            session.execute(update(Trial).where(Trial.id == trials[1].id).values(note="hm"))
        make.save(JournalIdentity(id=1, uuid="00000000-0000-4000-8000-000000000009"))
        packages.append(out(journal))
    assert packages[0] == packages[1]
    (left,) = _table(packages[0], "left_trial")
    assert (left["number"], left["note"]) == ("2", "hm")
    (revealed,) = _table(packages[0], "trial")
    assert (revealed["number"], revealed["cups"], revealed["poured_by"]) == (
        "1",
        "ABA",
        "browser 1",
    )
    assert (_table(packages[0], "trial_brew"), _table(packages[0], "blind_packet")) == ([], [])
    assert _table(packages[0], "blind_test_use") == []


def test_answers_whose_results_are_hidden_stay_until_the_end(sqlite_journal: Database) -> None:
    make = Make(sqlite_journal)
    plan = {"rule": "fixed number", "fixed_trials": 6, "controls": 2}
    test, _ = rows(make, [DONE, {**DONE, "is_control": True}], **plan)
    package = out(sqlite_journal)
    assert _table(package, "trial") == []
    assert len(_table(package, "left_trial")) == 2
    assert "is_control" not in files_of(package)["data/left_trial.csv"].decode()
    with sqlite_journal.writing() as session:
        ended = {"ended": "stopped", "stopped_at": NOON, "stopped_why": "Enough"}
        session.execute(update(BlindTest).where(BlindTest.id == test.id).values(ended))
    package = out(sqlite_journal)
    assert [row["is_control"] for row in _table(package, "trial")] == ["false", "true"]
    assert _table(package, "left_trial") == []


def test_a_mark_that_is_not_read_keeps_the_key_until_it_is_overdue(
    sqlite_journal: Database,
) -> None:
    make = Make(sqlite_journal)
    rows(make, [{**LATE, "pouring": "solo"}], pouring="solo")
    assert _table(out(sqlite_journal, NOON + timedelta(hours=1)), "trial") == []
    later = out(sqlite_journal, NOON + timedelta(hours=25))
    assert [row["cups"] for row in _table(later, "trial")] == ["AAB"]


def test_a_test_whose_keys_stayed_behind_goes_on_and_says_so(
    sqlite_journal: Database, another: Another, sqlite_config: Config
) -> None:
    make = Make(sqlite_journal)
    rows(make, [DONE, OPEN[3], {**CLAIMED, **SERVED}])
    package = out(sqlite_journal)
    copy = another("copy")
    came = into(copy, package)
    assert out(copy) == package
    with Session(copy.reader) as session:
        (test,) = session.scalars(select(BlindTest))
        assert session.scalar(select(func.count()).select_from(Trial)) == 1
        assert session.scalar(select(func.count()).select_from(LeftTrial)) == 2
        trials = {test.id: trials_of(session, test.id)}
        says = marks_of(session, [test], trials)[test.id].sentence
    assert "2 trials were drawn in another copy of this journal" in says
    assert "(0 answered, 1 void)" in says
    # It is carried on with a trial that is drawn anew, under the next number ...
    config = Config(str(copy.engine.url), sqlite_config.home / "elsewhere", "")
    config.home.mkdir()
    remember_open_tests(copy, config, came, NOW)
    with copy.writing() as session:
        test = locked(session, 1)  # type: ignore[assignment]
        trial = session.get_one(Trial, draw_trial(session, test, 1, NOW))
        assert trial.number == 4
    # ... and is marked as one that may have gone on elsewhere.
    with copy.writing() as session:
        mark_put_back(session, seals_of(config), NOW)
        says = marks_of(session, [test], {1: trials_of(session, 1)})[1].sentence
    assert "put back to an earlier state while this test was open" in says


def test_a_test_that_is_here_stays_as_it_is_here(
    sqlite_journal: Database, another: Another
) -> None:
    """A copy in which it went on neither adds trials nor ends it."""
    make = Make(sqlite_journal)
    test, _ = rows(make, [DONE])
    copy = another("copy")
    into(copy, out(sqlite_journal))
    with sqlite_journal.writing() as session:
        more = {"test_id": test.id, "taster_id": 1, "pouring": "helper", "codes": "417 658 293"}
        session.add(Trial(**more, **DONE, number=2, cups="ABB", drawn_at=NOON))
        session.flush()
        ended = {"ended": "stopped", "stopped_at": NOON, "stopped_why": "Enough"}
        session.execute(update(BlindTest).where(BlindTest.id == test.id).values(ended))
    came = into(copy, out(sqlite_journal), theirs=True)
    assert (came.new, came.differs, came.left) == (0, 0, 2)
    with Session(copy.reader) as session:
        assert session.scalar(select(BlindTest.ended)) is None
        assert session.scalar(select(func.count()).select_from(Trial)) == 1
