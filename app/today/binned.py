"""What is in the bin: things of every kind in one list, those binned last first."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from functools import cache
from typing import NamedTuple

from sqlalchemy import (
    BigInteger,
    ColumnElement,
    CompoundSelect,
    Date,
    Float,
    Integer,
    SQLColumnExpression,
    String,
    and_,
    cast,
    literal,
    null,
    select,
    tuple_,
    union_all,
)
from sqlalchemy.orm import Session, aliased

from app.journal.bin import BINNED
from app.journal.paging import Page, read_page
from app.journal.rows import Query, columns_of, rows_as
from app.models import (
    Ask,
    Bag,
    BagCorrection,
    Bean,
    BlindTest,
    Brew,
    Brewer,
    BrewPhoto,
    Change,
    Experiment,
    Filter,
    FilterPack,
    FrozenSpan,
    Grinder,
    Question,
    Recipe,
    SideBySide,
    Sitting,
    SittingQuestion,
    Taster,
    Tasting,
    Water,
)
from app.models.base import Base

Column = SQLColumnExpression[object]
Joins = tuple[tuple[type[Base], ColumnElement[bool]], ...]
NAMED = (Recipe, FilterPack, Brewer, Grinder, Water)
KINDS_AT_MOST = 100
# What most kinds have no use for, with the type it has where it is used.
NOT_KNOWN: dict[str, Column] = {
    "more": cast(null(), String), "day": cast(null(), Date), "until": cast(null(), Date),
    "amount": cast(null(), Float), "owner_id": cast(null(), Integer),
    "other_id": cast(null(), Integer),
}  # fmt: skip


class Source(NamedTuple):
    """A kind of thing that can be binned: where the columns of its `BinnedRow` come from."""

    table: type[Base]
    columns: Mapping[str, Column]
    joins: Joins = ()


class BinnedRow(NamedTuple):
    """A thing in the bin. `kind` is the name of its table; what `name` and the rest hold differs
    with the kind. `place` tells things binned in the same moment apart."""

    kind: str
    id: int
    binned_at: datetime
    place: int
    name: str
    more: str | None
    day: date | None
    until: date | None
    amount: float | None
    owner_id: int | None
    other_id: int | None


def binned_page(session: Session, args: Mapping[str, str]) -> Page[BinnedRow]:
    """All that is in the bin, the last binned first, a page at a time."""
    things = _things().subquery()
    return read_page(
        lambda limited: rows_as(BinnedRow, session, limited),
        select(things),
        things.c.binned_at,
        things.c.place,
        lambda row: (row.binned_at, row.place),
        args,
    )


def binned_from(session: Session, rows: Sequence[BinnedRow]) -> dict[tuple[str, int], str]:
    """By kind and number, the device that put the thing in the bin, "" for this computer; what was
    binned before the journal noted that is left out."""
    if not rows:
        return {}
    these = tuple_(Change.thing, Change.row_id).in_([(row.kind, row.id) for row in rows])
    query = select(Change.thing, Change.row_id, Change.device).where(these, Change.what == BINNED)
    found = session.execute(query.order_by(Change.number))
    return {(change.thing, change.row_id): change.device for change in found}


@cache
def _things() -> CompoundSelect[*tuple[object, ...]]:
    """Created once: building a statement takes longer than running it."""
    return union_all(*(_in_the_bin(number, source) for number, source in enumerate(_sources())))


def _in_the_bin(number: int, source: Source) -> Query:
    table = source.table
    columns = {
        "kind": literal(table.__tablename__),
        "place": cast(table.__table__.c.id, BigInteger) * KINDS_AT_MOST + number,
    }
    query = select(*columns_of(BinnedRow, table, **{**NOT_KNOWN, **columns, **source.columns}))
    query = query.select_from(table)
    for other, on in source.joins:
        query = query.join(other, on)
    return query.where(table.__table__.c.binned_at.is_not(None))


def _sources() -> list[Source]:
    """Every kind of thing that a page can put in the bin."""
    pack: Joins = ((FilterPack, FilterPack.id == Filter.pack_id),)
    of_sitting = and_(SittingQuestion.sitting_id == Sitting.id, SittingQuestion.place == 1)
    first_question: Joins = (
        (SittingQuestion, of_sitting),
        (Question, Question.id == SittingQuestion.question_id),
    )
    return [
        *_cups(),
        *_bags(),
        Source(
            Filter, {"name": FilterPack.name, "amount": Filter.number, "more": Filter.note}, pack
        ),
        Source(BlindTest, {"name": BlindTest.title}),
        Source(Question, {"name": Question.text}),
        Source(Ask, {"name": Ask.text, "day": Ask.asked_on}),
        Source(Sitting, {"name": Question.text}, first_question),
        Source(Experiment, {"name": Bean.name}, _bean(Experiment.bag_id)),
        *(Source(table, {"name": table.name}) for table in NAMED),
    ]


def _cups() -> list[Source]:
    b, bag_b, bean_b = aliased(Brew), aliased(Bag), aliased(Bean)
    brewed = {"name": Bean.name, "day": Brew.brewed_on}
    beside = {
        **brewed, "more": bean_b.name, "until": b.brewed_on,
        "owner_id": SideBySide.brew_a_id, "other_id": SideBySide.brew_b_id,
    }  # fmt: skip
    brew_b: Joins = (
        (b, b.id == SideBySide.brew_b_id),
        (bag_b, bag_b.id == b.bag_id),
        (bean_b, bean_b.id == bag_b.bean_id),
    )
    taster: Joins = ((Taster, Taster.id == Tasting.taster_id),)
    photo = brewed | {"more": BrewPhoto.alt, "owner_id": BrewPhoto.brew_id}
    return [
        Source(Brew, brewed | {"amount": Brew.dose_g}, _bean(Brew.bag_id)),
        Source(Tasting, brewed | {"more": Taster.name}, _brew(Tasting.brew_id) + taster),
        Source(BrewPhoto, photo, _brew(BrewPhoto.brew_id)),
        Source(SideBySide, beside, _brew(SideBySide.brew_a_id) + brew_b),
    ]


def _bags() -> list[Source]:
    bean: Joins = ((Bean, Bean.id == Bag.bean_id),)
    days = {"name": Bean.name, "day": FrozenSpan.from_on, "until": FrozenSpan.to_on}
    grams = {"name": Bean.name, "day": BagCorrection.noted_on, "amount": BagCorrection.grams}
    why = {"more": BagCorrection.why, "owner_id": BagCorrection.bag_id}
    return [
        Source(Bag, {"name": Bean.name, "day": Bag.roasted_on}, bean),
        Source(FrozenSpan, days | {"owner_id": FrozenSpan.bag_id}, _bean(FrozenSpan.bag_id)),
        Source(BagCorrection, grams | why, _bean(BagCorrection.bag_id)),
    ]


def _bean(bag_id: SQLColumnExpression[int]) -> Joins:
    return (Bag, Bag.id == bag_id), (Bean, Bean.id == Bag.bean_id)


def _brew(brew_id: SQLColumnExpression[int]) -> Joins:
    return (Brew, Brew.id == brew_id), *_bean(Brew.bag_id)
