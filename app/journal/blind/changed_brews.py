"""Brews that were changed, binned or renumbered after a blind test about them was answered."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.blind.poured_from import may_be_seen
from app.journal.rows import columns_of, rows_as
from app.journal.uses import Use, uses_of_brews
from app.models import BlindTest, BlindTestUse, Brew, Change, Trial, TrialBrew
from app.models.history import FieldText

NO_CHANGE_OF_THE_BREW = {"note", "photo_alt", "retire_1", "retire_2", "retire_3"}
AFTER = "after this test was answered"


class Mark(NamedTuple):
    """Something that a test carries from then on; `at` is None where no moment is known."""

    sentence: str
    at: datetime | None = None


class _Concerned(NamedTuple):
    """A brew that a test is about, and when an answer was first given about it."""

    test_id: int
    brew_id: int
    answered_at: datetime | None


class _Changed(NamedTuple):
    row_id: int
    changed_at: datetime
    what: str
    before: list[FieldText]
    after: list[FieldText]


class _Then(NamedTuple):
    test_id: int
    brew_id: int
    filter_id: int
    number: int


class _Binned(NamedTuple):
    id: int
    binned_at: datetime


def changed_brews(
    session: Session, tests: Sequence[BlindTest], first_answers: Mapping[int, datetime]
) -> dict[int, list[Mark]]:
    """What happened to the brews of each test after its first answer, given by test, or after the
    answer of the trial that a brew is tied to."""
    if not first_answers:
        return {}
    since: dict[tuple[int, int], datetime] = {}
    for row in _concerned(session, [test for test in tests if test.id in first_answers]):
        answered_at = row.answered_at or first_answers[row.test_id]
        known = since.get((row.test_id, row.brew_id), answered_at)
        since[row.test_id, row.brew_id] = min(known, answered_at)
    then = _uses_then(session, list(first_answers))
    brew_ids = {brew_id for _, brew_id in since} | {use.brew_id for use in then}
    if not brew_ids:
        return {}
    events = list(_events(session, list(brew_ids)))
    now = uses_of_brews(session, {use.brew_id for use in then})
    marks: dict[int, list[Mark]] = {}
    for (test_id, brew_id), answered_at in since.items():
        marks.setdefault(test_id, []).extend(
            mark for of, mark in events if of == brew_id and mark.at and mark.at >= answered_at
        )
    for use in then:
        if moved := _moved(use, now.get(use.brew_id, [])):
            marks.setdefault(use.test_id, []).append(moved)
    return marks


def _concerned(session: Session, tests: Sequence[BlindTest]) -> list[_Concerned]:
    """Brews that the plans name, and those tied to trials whose key may be seen."""
    tied = (
        select(Trial.test_id, TrialBrew.brew_id, Trial.answered_at)
        .join(Trial, Trial.id == TrialBrew.trial_id)
        .join(BlindTest, BlindTest.id == Trial.test_id)
        .where(Trial.test_id.in_([test.id for test in tests]), *may_be_seen())
    )
    named = [
        _Concerned(test.id, brew_id, None)
        for test in tests
        for brew_id in (test.a_brew_id, test.b_brew_id)
        if brew_id is not None
    ]
    return named + rows_as(_Concerned, session, tied)


def _uses_then(session: Session, test_ids: Sequence[int]) -> list[_Then]:
    query = select(*columns_of(_Then, BlindTestUse)).where(BlindTestUse.test_id.in_(test_ids))
    ordered = query.order_by(BlindTestUse.brew_id, BlindTestUse.filter_id)
    return rows_as(_Then, session, ordered)


def _events(session: Session, brew_ids: Sequence[int]) -> Iterator[tuple[int, Mark]]:
    """What was done to brews, by brew, the oldest first."""
    query = select(*columns_of(_Changed, Change)).where(
        Change.thing == "brew", Change.row_id.in_(brew_ids)
    )
    noted = set()
    for row in rows_as(_Changed, session, query.order_by(Change.changed_at, Change.id)):
        said = row.what or _fields(row)
        if said:
            noted.add((row.row_id, row.changed_at))
            done = f"was {said}" if row.what else f"was changed ({said})"
            yield row.row_id, Mark(f"Brew {row.row_id} {done} {AFTER}.", row.changed_at)
    binned = select(Brew.id, Brew.binned_at).where(
        Brew.id.in_(brew_ids), Brew.binned_at.is_not(None)
    )
    for one in rows_as(_Binned, session, binned):
        if (one.id, one.binned_at) not in noted:  # before changes were noted
            yield one.id, Mark(f"Brew {one.id} was put in the bin {AFTER}.", one.binned_at)


def _fields(row: _Changed) -> str:
    """What was changed, each field as it was and as it became."""
    was = {text["name"]: text for text in row.before}
    return "; ".join(
        f"{text['label'].lower()}: {_value(was.get(text['name']))}, then {_value(text)}"
        for text in row.after
        if text["name"] not in NO_CHANGE_OF_THE_BREW
    )


def _value(text: FieldText | None) -> str:
    if text is None or not text["values"]:
        return "nothing"
    if text["shown"] or text["unit"] is None:
        return text["shown"] or ", ".join(text["values"])
    return f"{', '.join(f'{float(value):g}' for value in text['values'])} {text['unit']}".strip()


def _moved(then: _Then, stack: Sequence[Use]) -> Mark | None:
    """Whether a brew is another use of its filter than it was."""
    now = next((use for use in stack if use.filter_id == then.filter_id), None)
    if now is not None and (now.number == then.number or not now.wears):
        return None
    counted = f"is counted as use {now.number} now" if now else "is no use of it any more"
    return Mark(f"Brew {then.brew_id} was use {then.number} of its filter, and {counted}.")
