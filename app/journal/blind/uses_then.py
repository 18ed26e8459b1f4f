"""Which use of its filters each brew of a test was when that began to matter."""

from collections.abc import Iterable

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.journal.uses import uses_of_brews
from app.models import BlindTest, BlindTestUse, Brew, Filter, FilterUse


def remember_uses(session: Session, test_id: int, brew_ids: Iterable[int] = ()) -> None:
    """Note it once for these brews, else for those that the plan names itself."""
    test = session.get_one(BlindTest, test_id)
    there = select(BlindTestUse.brew_id).where(BlindTestUse.test_id == test_id)
    wanted = set(brew_ids) or _named(session, test)
    wanted -= set(session.scalars(there))
    session.add_all(
        BlindTestUse(test_id=test_id, brew_id=brew_id, filter_id=use.filter_id, number=use.number)
        for brew_id, stack in uses_of_brews(session, wanted).items()
        for use in stack
    )


def _named(session: Session, test: BlindTest) -> set[int]:
    named = {test.a_brew_id, test.b_brew_id}
    for filter_id, number in (
        (test.a_filter_id, test.a_filter_use),
        (test.b_filter_id, test.b_filter_use),
    ):
        if filter_id and number:
            named.add(_brew_of_use(session, filter_id, number))
    return {brew_id for brew_id in named if brew_id is not None}


def _brew_of_use(session: Session, filter_id: int, number: int) -> int | None:
    """The brew that was this use of the filter, if it is logged."""
    before = session.get_one(Filter, filter_id).prior_uses
    if number <= before:
        return None
    uses = (
        select(FilterUse.brew_id)
        .join(Brew, Brew.id == FilterUse.brew_id)
        .where(FilterUse.filter_id == filter_id, Brew.binned_at.is_(None))
        .order_by(FilterUse.brewed_at, FilterUse.brew_id)
    )
    return session.scalar(uses.offset(number - before - 1).limit(1))
