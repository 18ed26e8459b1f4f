"""What can be put under a question from its own page: the latest of each kind not there yet."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Select, exists, select
from sqlalchemy.orm import Session, aliased

from app.formats import Formats
from app.journal.questions import LINKED, Kind
from app.journal.words import brew_in_words
from app.models import Bag, Bean, BlindTest, Brew, SideBySide

MOST = 30

Choices = list[tuple[int, str]]


def offered(session: Session, question_id: int, formats: Formats) -> dict[Kind, Choices]:
    """(id, words) of the latest of each kind that are neither in the bin nor tied already."""
    brews = session.execute(_latest("brew", question_id, _brews(), Brew.brewed_at)).all()
    pairs = session.execute(
        _latest("side_by_side", question_id, _pairs(), SideBySide.saved_at)
    ).all()
    tests = session.execute(_latest("blind_test", question_id, _tests(), BlindTest.made_at)).all()
    return {
        "brew": [(row.id, brew_in_words(row, formats)) for row in brews],
        "side_by_side": [(row.id, _pair_words(row, formats)) for row in pairs],
        "blind_test": [(row.id, row.title) for row in tests],
    }


def _latest(
    kind: Kind, question_id: int, query: Select[*tuple[Any, ...]], moment: Any
) -> Select[*tuple[Any, ...]]:
    tied = LINKED[kind]
    there = exists().where(tied.link.question_id == question_id, tied.column == tied.thing.id)
    return (
        query.where(tied.thing.binned_at.is_(None), ~there)
        .order_by(moment.desc(), tied.thing.id.desc())
        .limit(MOST)
    )


def _brews() -> Select[*tuple[Any, ...]]:
    return (
        select(
            Brew.id,
            Brew.brewed_at,
            Brew.zone,
            Brew.dose_g,
            Brew.water_g,
            Bean.name.label("bean_name"),
        )
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
    )


def _pairs() -> Select[*tuple[Any, ...]]:
    a, b, bag = aliased(Brew), aliased(Brew), aliased(Bag)
    return (
        select(
            SideBySide.id,
            SideBySide.note,
            Bean.name,
            a.brewed_at.label("a_at"),
            a.zone.label("a_zone"),
            b.brewed_at.label("b_at"),
            b.zone.label("b_zone"),
        )
        .join(a, a.id == SideBySide.brew_a_id)
        .join(b, b.id == SideBySide.brew_b_id)
        .join(bag, bag.id == a.bag_id)
        .join(Bean, Bean.id == bag.bean_id)
    )


def _tests() -> Select[*tuple[Any, ...]]:
    return select(BlindTest.id, BlindTest.title)


def _pair_words(row: Any, formats: Formats) -> str:
    a, b = formats.moment(row.a_at, row.a_zone), formats.moment(row.b_at, row.b_zone)
    return f"{row.name}, {a} and {b}"
