"""What can be put under a question from its own page: the latest of each kind not there yet."""

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import exists, select
from sqlalchemy.orm import InstrumentedAttribute, Session, aliased

from app.formats import Formats
from app.journal.blind.told import NamedTest, named_tests, titles_in_words
from app.journal.brews import NamedBrew, named_brews
from app.journal.questions import LINKED, Kind
from app.journal.rows import Query, columns_of, rows_as
from app.journal.told import brews_in_words, pairs_apart
from app.models import Bag, Bean, BlindTest, Brew, SideBySide

MOST = 30

Choices = list[tuple[int, str]]


class PairChoice(NamedTuple):
    id: int
    brew_a_id: int
    brew_b_id: int
    bean_name: str
    a_at: datetime
    a_zone: str
    b_at: datetime
    b_zone: str


def offered(session: Session, question_id: int, formats: Formats) -> dict[Kind, Choices]:
    """(id, words) of the latest of each kind that are neither in the bin nor tied already."""
    brews = _latest("brew", question_id, named_brews(), Brew.brewed_at)
    pairs = _latest("side_by_side", question_id, _pairs(), SideBySide.saved_at)
    tests = _latest("blind_test", question_id, named_tests(), BlindTest.made_at)
    return {
        "brew": brews_in_words(session, rows_as(NamedBrew, session, brews), formats),
        "side_by_side": _pairs_in_words(session, rows_as(PairChoice, session, pairs), formats),
        "blind_test": titles_in_words(rows_as(NamedTest, session, tests), formats),
    }


def _latest(
    kind: Kind, question_id: int, query: Query, moment: InstrumentedAttribute[datetime]
) -> Query:
    tied = LINKED[kind]
    under = exists().where(tied.link.question_id == question_id, tied.column == tied.thing.id)
    return (
        query.where(tied.thing.binned_at.is_(None), ~under)
        .order_by(moment.desc(), tied.thing.id.desc())
        .limit(MOST)
    )


def _pairs() -> Query:
    a, b, bag = aliased(Brew), aliased(Brew), aliased(Bag)
    moments = {"a_at": a.brewed_at, "a_zone": a.zone, "b_at": b.brewed_at, "b_zone": b.zone}
    return (
        select(*columns_of(PairChoice, SideBySide, bean_name=Bean.name, **moments))
        .join(a, a.id == SideBySide.brew_a_id)
        .join(b, b.id == SideBySide.brew_b_id)
        .join(bag, bag.id == a.bag_id)
        .join(Bean, Bean.id == bag.bean_id)
    )


def _pairs_in_words(session: Session, pairs: Sequence[PairChoice], formats: Formats) -> Choices:
    """What differed comes first: a narrow list cuts off the rest."""
    apart = pairs_apart(session, [(pair.brew_a_id, pair.brew_b_id) for pair in pairs], formats)
    return [
        (pair.id, f"{apart[pair.brew_a_id, pair.brew_b_id].words}: {_pair_words(pair, formats)}")
        for pair in pairs
    ]


def _pair_words(pair: PairChoice, formats: Formats) -> str:
    a, b = formats.moment(pair.a_at, pair.a_zone), formats.moment(pair.b_at, pair.b_zone)
    return f"{pair.bean_name}, {a} and {b}"
