"""What to set side by side for a question: the cups of its blind test, else those of its side by
side, else the latest brew once more, so that something is changed in it."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from datetime import datetime, timedelta
from typing import Literal

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.brewing.sitting.wanted import FilterWanted
from app.formats import Formats
from app.journal.brews import last_brew_id
from app.journal.gathered.evidence import gather
from app.journal.sittings.brewable import Cups, brewable
from app.journal.sittings.cups import CupLike, Value
from app.journal.sittings.likes import like_brew, like_pair
from app.models import BlindTest, Brew, Filter, Question, QuestionBlindTest, RecipeRevision, Trial
from app.models.recipes import Amounts
from app.sensory.terms import LETTERS, Letter

Source = Literal["test", "pair", "last brew", "nothing"]
# So long coffee stays on a table; later trials of one pair of brews have nothing to pour from.
ON_THE_TABLE = timedelta(hours=3)


@dataclass(frozen=True, slots=True)
class Proposal:
    """`cups` are empty where there is no brew to be like. `tests` are those that go on (id, title),
    the last planned first."""

    question_id: int
    text: str
    factors: tuple[str, ...]
    source: Source
    cups: Cups
    tests: Sequence[tuple[int, str]]


def propose(session: Session, question: Question, formats: Formats, now: datetime) -> Proposal:
    """What a sitting does for an open question, unless somebody says otherwise."""
    factors = tuple(question.factors)
    tests = _going_on(session, question.id, now)
    source, cups = _cups(session, question, tests, factors, formats, now)
    titles = [(test.id, test.title) for test in tests]
    return Proposal(question.id, question.text, factors, source, cups, titles)


def _cups(
    session: Session, question: Question, tests: Sequence[BlindTest], factors: Sequence[str],
    formats: Formats, now: datetime,
) -> tuple[Source, Cups]:  # fmt: skip
    last_id = last_brew_id(session)
    if last_id is None:
        return "nothing", {}
    found = _of_test(session, tests[0], last_id, factors) if tests else {}
    if len(found) == 2:
        return "test", brewable(session, found, factors)
    if to_test := gather(session, question, formats, now).to_test:
        return "pair", brewable(session, like_pair(session, *to_test, factors), factors)
    last = like_brew(session, last_id, factors)
    return "last brew", brewable(session, dict.fromkeys(LETTERS, last), factors)


def _going_on(session: Session, question_id: int, now: datetime) -> list[BlindTest]:
    """Tests under a question that have not ended, and whose cups can still be brewed."""
    tied = QuestionBlindTest.test_id == BlindTest.id
    query = (
        select(BlindTest)
        .join(QuestionBlindTest, tied)
        .where(
            QuestionBlindTest.question_id == question_id,
            BlindTest.ended.is_(None),
            BlindTest.binned_at.is_(None),
        )
        .order_by(BlindTest.made_at.desc(), BlindTest.id.desc())
    )
    tests = list(session.scalars(query))
    first_answers = (
        select(Trial.test_id, func.min(Trial.answered_at).label("first"))
        .where(Trial.test_id.in_([test.id for test in tests]))
        .group_by(Trial.test_id)
    )
    first = {row.test_id: row.first for row in session.execute(first_answers)}
    return [
        test
        for test in tests
        if test.brewing != "one pair"
        or not (answered_at := first.get(test.id))
        or now - answered_at <= ON_THE_TABLE
    ]


def _of_test(
    session: Session, test: BlindTest, last_id: int, factors: Sequence[str]
) -> dict[Letter, CupLike]:
    """The cups that a test points at; a cup that has words only is left out."""
    found: dict[Letter, CupLike] = {}
    for letter in LETTERS:
        brew_id, revision_id, filter_id, use = (
            getattr(test, f"{letter.lower()}_{part}")
            for part in ("brew_id", "revision_id", "filter_id", "filter_use")
        )
        if brew_id or revision_id or filter_id:
            like = like_brew(session, brew_id or last_id, factors)
            like = _by_recipe(session, like, revision_id) if revision_id and not brew_id else like
            found[letter] = _through(session, like, filter_id, use) if filter_id else like
    return found


def _by_recipe(session: Session, like: CupLike, revision_id: int) -> CupLike:
    """Like the latest brew by the recipe, else the recipe's numbers over the latest brew."""
    brewed = last_brew_id(session, Brew.revision_id == revision_id)
    if brewed:
        return replace(like, like_id=brewed)
    of = session.get_one(RecipeRevision, revision_id)
    made: dict[str, Value] = {field.name: getattr(of, field.name) for field in fields(Amounts)}
    brewer = {"brewer_id": of.brewer_id} if of.brewer_id else {}
    return replace(like, changes=made | brewer | {"revision_id": revision_id})


def _through(session: Session, like: CupLike, filter_id: int, use: int | None) -> CupLike:
    pack_id = session.get_one(Filter, filter_id).pack_id
    return replace(like, filters=(FilterWanted(pack_id, use),))
