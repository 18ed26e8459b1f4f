"""Reading tastings: the searched list, and brews that nobody has tasted yet."""

from collections.abc import Mapping
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import exists, select
from sqlalchemy.orm import Session

from app.journal.brews import NamedBrew, named_brews
from app.journal.paging import Page, read_page
from app.journal.rows import columns_of, rows_as
from app.journal.tastings import LOOK_BACK, just_right_of
from app.models import Bag, Bean, Brew, Taster, Tasting
from app.sensory.scores.just_right import in_words
from app.text import search_text

MOST_UNTASTED = 8
MOST_WORDS = 8


class ListedTasting(NamedTuple):
    """A tasting with the bean of its brew."""

    id: int
    brew_id: int
    taster_name: str
    tasted_at: datetime
    zone: str
    blind: bool
    liking: int | None
    jar_strength: int | None
    jar_sweetness: int | None
    jar_acidity: int | None
    jar_bitterness: int | None
    jar_body: int | None
    jar_clarity: int | None
    words: str
    note: str
    after_trial_id: int | None
    bean_name: str

    @property
    def just_right(self) -> str:
        """The just-right answers in words; empty where none was given."""
        return in_words(just_right_of(self))


def search_page(session: Session, words: str, args: Mapping[str, str]) -> Page[ListedTasting]:
    """A page of tastings from new to old, each with all of the words in what was written.

    Those in the bin, or of a brew in it, are left out.
    """
    names = {"taster_name": Taster.name, "bean_name": Bean.name}
    query = (
        select(*columns_of(ListedTasting, Tasting, **names))
        .join(Taster, Taster.id == Tasting.taster_id)
        .join(Brew, Brew.id == Tasting.brew_id)
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Tasting.binned_at.is_(None), Brew.binned_at.is_(None))
    )
    for word in search_text(words).split()[:MOST_WORDS]:
        query = query.where(Tasting.text_search.contains(word, autoescape=True))
    return read_page(
        lambda limited: rows_as(ListedTasting, session, limited),
        query,
        Tasting.tasted_at,
        Tasting.id,
        lambda row: (row.tasted_at, row.id),
        args,
    )


def not_tasted_yet(session: Session) -> list[NamedBrew]:
    """The newest brews without a tasting, among the latest LOOK_BACK brews."""
    in_turn = (Brew.brewed_at.desc(), Brew.id.desc())
    latest = select(Brew.id).where(Brew.binned_at.is_(None)).order_by(*in_turn).limit(LOOK_BACK)
    tasted = exists().where(Tasting.brew_id == Brew.id, Tasting.binned_at.is_(None))
    query = named_brews().where(Brew.id.in_(latest), ~tasted).order_by(*in_turn)
    return rows_as(NamedBrew, session, query.limit(MOST_UNTASTED))
