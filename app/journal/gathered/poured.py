"""The brews that the cups of blind tests came from, A and B apart."""

from collections.abc import Iterable
from typing import NamedTuple

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.blind.poured_from import may_be_seen
from app.journal.rows import rows_as
from app.models import BlindTest, Brew, Trial, TrialBrew
from app.sensory.terms import LETTERS, Letter

Poured = dict[Letter, list[int]]


class _PouredRow(NamedTuple):
    test_id: int
    cup: Letter
    brew_id: int


def poured_of(session: Session, tests: Iterable[BlindTest]) -> dict[int, Poured]:
    """Brew ids by test and cup, oldest first: those of trials whose key may be seen, or, where
    none was noted, those that the plan names. Brews in the bin are left out."""
    wanted = {test.id: test for test in tests}
    query = (
        select(Trial.test_id, TrialBrew.cup, TrialBrew.brew_id)
        .join(Trial, Trial.id == TrialBrew.trial_id)
        .join(BlindTest, BlindTest.id == Trial.test_id)
        .join(Brew, Brew.id == TrialBrew.brew_id)
        .where(Trial.test_id.in_(wanted), Brew.binned_at.is_(None), *may_be_seen())
        .order_by(Brew.brewed_at, Brew.id)
    )
    found: dict[int, Poured] = {key: {letter: [] for letter in LETTERS} for key in wanted}
    for row in rows_as(_PouredRow, session, query):
        if row.brew_id not in found[row.test_id][row.cup]:
            found[row.test_id][row.cup].append(row.brew_id)
    planned = {brew_id for test in wanted.values() for brew_id in _named(test).values()}
    here = set(
        session.scalars(select(Brew.id).where(Brew.id.in_(planned), Brew.binned_at.is_(None)))
    )
    for test_id, test in wanted.items():
        for letter, brew_id in _named(test).items():
            if brew_id in here and not found[test_id][letter]:
                found[test_id][letter].append(brew_id)
    return found


def _named(test: BlindTest) -> dict[Letter, int]:
    named: dict[Letter, int | None] = {"A": test.a_brew_id, "B": test.b_brew_id}
    return {letter: brew_id for letter, brew_id in named.items() if brew_id}
