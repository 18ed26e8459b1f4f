"""Where two recipes met and somebody said which they prefer: side by sides, and blind preference
tests whose answers may be seen. Likings do not count."""

from collections.abc import Iterable
from datetime import datetime
from functools import cache
from typing import NamedTuple

from sqlalchemy import bindparam, func, select
from sqlalchemy.orm import Session, aliased

from app.journal.blind.answers import answers_by_test
from app.journal.blind.keys import choice_of
from app.journal.blind.open import trials_by_test
from app.journal.blind.poured_from import may_be_seen
from app.journal.blind.standing import results_hidden
from app.journal.rows import Query, rows_as
from app.journal.tastings import counted
from app.models import BlindTest, Brew, RecipeRevision, SideBySide, Tasting, Trial, TrialBrew
from app.sensory.terms import Letter

MOST_SAVED = 1000  # the latest side by sides


class Made(NamedTuple):
    """The revision of a recipe that a cup was made by; `brewer_id` where it names one."""

    recipe_id: int
    revision_id: int
    brewer_id: int | None


class Met(NamedTuple):
    """Cups of two recipes, and which was preferred; `brews` where they are known.

    What has one `look` came from the same two brews. `filters_differ`: so the plan of a test says.
    """

    look: str
    a: Made
    b: Made
    preferred: Letter | None
    blind: bool
    taster_id: int | None
    brews: tuple[int, int] | None
    filters_differ: bool = False


class _Saved(NamedTuple):
    brew_a_id: int
    brew_b_id: int
    preference: str
    recipe_a: int
    recipe_b: int
    revision_a: int
    revision_b: int
    made_in_a: int | None
    made_in_b: int | None


def side_by_sides(session: Session) -> list[Met]:
    """Sighted: whoever saved it knew which cup was which."""
    rows = rows_as(_Saved, session, _saved())
    whose = _whose(session, {n for row in rows for n in (row.brew_a_id, row.brew_b_id)})
    found = []
    for row in rows:
        brews = (row.brew_a_id, row.brew_b_id)
        tasters = whose.get(brews[0], set()) | whose.get(brews[1], set())
        preferred: Letter | None = {"a": "A", "b": "B"}.get(row.preference)  # type: ignore[assignment]
        found.append(
            Met(
                "brews {} {}".format(*sorted(brews)),
                Made(row.recipe_a, row.revision_a, row.made_in_a),
                Made(row.recipe_b, row.revision_b, row.made_in_b),
                preferred,
                blind=False,
                taster_id=next(iter(tasters)) if len(tasters) == 1 else None,
                brews=brews,
            )
        )
    return found


@cache
def _saved() -> Query:
    a, b = aliased(Brew), aliased(Brew)
    of_a, of_b = aliased(RecipeRevision), aliased(RecipeRevision)
    return (
        select(
            SideBySide.brew_a_id,
            SideBySide.brew_b_id,
            SideBySide.preference,
            of_a.recipe_id.label("recipe_a"),
            of_b.recipe_id.label("recipe_b"),
            of_a.id.label("revision_a"),
            of_b.id.label("revision_b"),
            of_a.brewer_id.label("made_in_a"),
            of_b.brewer_id.label("made_in_b"),
        )
        .join(a, a.id == SideBySide.brew_a_id)
        .join(b, b.id == SideBySide.brew_b_id)
        .join(of_a, of_a.id == a.revision_id)
        .join(of_b, of_b.id == b.revision_id)
        .where(
            SideBySide.binned_at.is_(None),
            SideBySide.preference.is_not(None),
            a.binned_at.is_(None),
            b.binned_at.is_(None),
            of_a.recipe_id != of_b.recipe_id,
        )
        .order_by(SideBySide.saved_at.desc(), SideBySide.id.desc())
        .limit(MOST_SAVED)
    )


class _Tasted(NamedTuple):
    brew_id: int
    taster_id: int


def _whose(session: Session, brew_ids: Iterable[int]) -> dict[int, set[int]]:
    """Who tasted each brew. A side by side names nobody: what one person alone tasted is theirs."""
    whose: dict[int, set[int]] = {}
    for row in rows_as(_Tasted, session, _tasted(), {"ids": sorted(brew_ids)}):
        whose.setdefault(row.brew_id, set()).add(row.taster_id)
    return whose


@cache
def _tasted() -> Query:
    of_these = Tasting.brew_id.in_(bindparam("ids", expanding=True))
    return select(Tasting.brew_id, Tasting.taster_id).where(of_these, *counted()).distinct()


def blind_preferences(session: Session, now: datetime) -> list[Met]:
    """Answers of preference tests about two recipes, as far as a verdict may rest on them: up to
    the first whose mark waits, and none of a test that hides its results until it ends."""
    tests = {test.id: test for test in session.scalars(_tests()) if not results_hidden(test)}
    made = _made(session, tests.values())
    about = {n: pair for n, test in tests.items() if (pair := _about(test, made))}
    answers = answers_by_test(session, trials_by_test(session, about), now)
    poured = _poured(session, about)
    found = []
    for test_id, (a, b) in about.items():
        test = tests[test_id]
        a_id, b_id = test.a_brew_id, test.b_brew_id
        filters = (test.a_filter_id, test.a_filter_use) != (test.b_filter_id, test.b_filter_use)
        for trial in answers[test_id].read:
            choice = None if trial.warm_up or trial.is_control else choice_of(trial)
            if choice is None:
                continue
            brews = poured.get(trial.id) or ((a_id, b_id) if a_id and b_id else None)
            one_pair = test.brewing == "one pair"
            found.append(
                Met(
                    f"test {test_id}" if one_pair else f"trial {trial.id}",
                    a,
                    b,
                    choice.preferred,
                    blind=True,
                    taster_id=trial.person_id,
                    brews=brews,
                    filters_differ=filters,
                )
            )
    return found


@cache
def _tests() -> Query:
    """Those that began, and may be about two recipes."""
    return (
        select(BlindTest)
        .where(
            BlindTest.method == "preference",
            BlindTest.binned_at.is_(None),
            func.coalesce(BlindTest.a_revision_id, BlindTest.a_brew_id).is_not(None),
            func.coalesce(BlindTest.b_revision_id, BlindTest.b_brew_id).is_not(None),
        )
        .order_by(BlindTest.id)
    )


def _made(session: Session, tests: Iterable[BlindTest]) -> tuple[dict[int, Made], dict[int, int]]:
    """What the tests name: revisions by id, and the revision of each brew."""
    tests = list(tests)
    brews = {n for test in tests for n in (test.a_brew_id, test.b_brew_id) if n}
    by_brew: dict[int, int] = {
        row.id: row.revision_id
        for row in session.execute(
            select(Brew.id, Brew.revision_id).where(
                Brew.id.in_(brews), Brew.revision_id.is_not(None), Brew.binned_at.is_(None)
            )
        )
    }
    named = {n for test in tests for n in (test.a_revision_id, test.b_revision_id) if n}
    columns = (RecipeRevision.recipe_id, RecipeRevision.id, RecipeRevision.brewer_id)
    query = select(*columns).where(RecipeRevision.id.in_(named | set(by_brew.values())))
    made = {row.id: Made(row.recipe_id, row.id, row.brewer_id) for row in session.execute(query)}
    return made, by_brew


def _about(
    test: BlindTest, known: tuple[dict[int, Made], dict[int, int]]
) -> tuple[Made, Made] | None:
    made, by_brew = known
    a, b = (
        made.get(revision_id or by_brew.get(brew_id or 0, 0))
        for revision_id, brew_id in (
            (test.a_revision_id, test.a_brew_id),
            (test.b_revision_id, test.b_brew_id),
        )
    )
    return (a, b) if a and b and a.recipe_id != b.recipe_id else None


def _poured(session: Session, test_ids: Iterable[int]) -> dict[int, tuple[int, int]]:
    """The brews of A and B that trials were poured from, where both are tied to them."""
    query = (
        select(TrialBrew.trial_id, TrialBrew.cup, func.min(TrialBrew.brew_id).label("brew_id"))
        .join(Trial, Trial.id == TrialBrew.trial_id)
        .join(BlindTest, BlindTest.id == Trial.test_id)
        .where(Trial.test_id.in_(list(test_ids)), *may_be_seen())
        .group_by(TrialBrew.trial_id, TrialBrew.cup)
    )
    cups: dict[int, dict[str, int]] = {}
    for row in session.execute(query):
        cups.setdefault(row.trial_id, {})[row.cup] = row.brew_id
    return {n: (own["A"], own["B"]) for n, own in cups.items() if len(own) == 2}
