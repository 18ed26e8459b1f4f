"""What making one of two names would do: what moves, what changes, what forbids it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session, aliased

from app.formats import Formats
from app.journal.names.listing import Named
from app.models import Bag, Bean, BlindTaster, BlindTest, QuestionBlindTest, Taster, Tasting
from app.sensory.gathered.words import counted

NOTED = {"roaster": "Roaster", "origin": "Origin", "process": "Process", "note": "Note"}
MOST_NAMED = 3


@dataclass(frozen=True, slots=True)
class Preview:
    """`moves` goes over, `told` is what else changes; with `refused` the two cannot be one."""

    moves: Sequence[str]
    told: Sequence[str]
    refused: Sequence[str] = ()


def preview(session: Session, a: Named, b: Named, formats: Formats) -> Preview:
    """Of making `a` one with `b`, which gives the name."""
    if a.kind == "taster":
        return _tasters(session, a, b)
    return _beans(session, a, b, formats) if a.kind == "bean" else _roasters(a, b)


def both_in(session: Session, a_id: int, b_id: int) -> list[str]:
    """Titles of blind tests in which both have a place."""
    one, other = (_tests(who) for who in (a_id, b_id))
    query = select(BlindTest.title).where(BlindTest.id.in_(one), BlindTest.id.in_(other))
    return list(session.scalars(query.order_by(BlindTest.id)))


def _tests(taster_id: int) -> Select[int]:
    who = select(Taster.id).where((Taster.id == taster_id) | (Taster.same_as_id == taster_id))
    return select(BlindTaster.test_id).where(BlindTaster.taster_id.in_(who))


def _tasters(session: Session, a: Named, b: Named) -> Preview:
    together = both_in(session, a.id, b.id)
    if together:
        return Preview((), (), (
            f"{a.name} and {b.name} both have a place in {_some(together)}. Each answer there "
            "counts for one of two people; as one person they would be counted twice, and what "
            "the test found would no longer hold. So they stay two.",
        ))  # fmt: skip
    tastings, tests = (count for count, _ in a.counts)
    told = []
    if tests:
        told.append(
            f"The sealed record of {counted(tests, 'blind test')} stays as it is, with the place "
            f"{a.name} had; only the name that is shown there becomes {b.name}. What a test found "
            "does not change: it counts within itself."
        )
    if questions := _questions_of_both(session, a.id, b.id):
        told.append(
            f"{counted(questions, 'question')} with blind tests of both will say that they hold "
            f"for {b.name} alone."
        )
    if shared := _brews_of_both(session, a.id, b.id):
        told.append(
            f"Both tasted {counted(shared, 'brew')}: are they two people? As one, {b.name} has "
            "several tastings of each, their mean counts, and how far the two agree is not said "
            "any more."
        )
    told.append(f"Repeats, means and trends of {b.name} are worked out anew from all tastings.")
    return Preview([f"{counted(tastings, 'tasting')} of {a.name} become {b.name}’s."], told)


def _questions_of_both(session: Session, a_id: int, b_id: int) -> int:
    tied = QuestionBlindTest.test_id
    one, other = (
        select(QuestionBlindTest.question_id).where(tied.in_(_tests(who))) for who in (a_id, b_id)
    )
    query = select(func.count(QuestionBlindTest.question_id.distinct()))
    of_both = QuestionBlindTest.question_id.in_(one) & QuestionBlindTest.question_id.in_(other)
    return session.scalar(query.where(of_both)) or 0


def _brews_of_both(session: Session, a_id: int, b_id: int) -> int:
    one, other = aliased(Tasting), aliased(Tasting)
    query = (
        select(func.count(one.brew_id.distinct()))
        .join(other, other.brew_id == one.brew_id)
        .where(one.taster_id == a_id, other.taster_id == b_id)
        .where(one.binned_at.is_(None), other.binned_at.is_(None))
    )
    return session.scalar(query) or 0


def _beans(session: Session, a: Named, b: Named, formats: Formats) -> Preview:
    ours, theirs = session.get_one(Bean, a.id), session.get_one(Bean, b.id)
    told = [
        f"{label}: “{mine}” is not taken over, “{stays}” stays. It comes back if this is taken "
        "back."
        for name, label in NOTED.items()
        if (mine := getattr(ours, name)) and mine != (stays := getattr(theirs, name) or "–")
    ]
    bags, brews = (count for count, _ in a.counts)
    if (ours.robusta_pct, ours.decaf) != (theirs.robusta_pct, theirs.decaf):
        told.append(
            f"{_kind(ours)} becomes {_kind(theirs)}: caffeine of {counted(brews, 'brew')} is "
            "worked out with that."
        )
    for day in _days_of_both(session, a.id, b.id):
        told.append(f"Both have a bag roasted on {formats.day(day)}; they stay two bags.")
    moves = f"{counted(bags, 'bag')} with {counted(brews, 'brew')} become {b.name}."
    return Preview([moves], told)


def _kind(bean: Bean) -> str:
    caffeine = "Decaffeinated" if bean.decaf else "With caffeine"
    return f"{caffeine}, {bean.robusta_pct:g} % robusta"


def _days_of_both(session: Session, a_id: int, b_id: int) -> list[date]:
    one, other = aliased(Bag), aliased(Bag)
    query = (
        select(one.roasted_on)
        .join(other, other.roasted_on == one.roasted_on)
        .where(one.bean_id == a_id, other.bean_id == b_id)
        .where(one.binned_at.is_(None), other.binned_at.is_(None))
        .distinct()
        .order_by(one.roasted_on)
    )
    return [day for day in session.scalars(query) if day]


def _roasters(a: Named, b: Named) -> Preview:
    beans, bags = (count for count, _ in a.counts)
    moves = f"{counted(beans, 'bean')} with {counted(bags, 'bag')} become {b.name}’s."
    return Preview([moves], ["Nothing else changes: a roaster is a name that beans carry."])


def _some(titles: Iterable[str]) -> str:
    named = [f"“{title}”" for title in titles]
    more = len(named) - MOST_NAMED
    return ", ".join(named[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
