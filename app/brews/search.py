"""The searched list of brews, a page at a time."""

from collections.abc import Mapping
from datetime import UTC, date, datetime, time, timedelta
from typing import NamedTuple

from sqlalchemy import ColumnElement, exists, select
from sqlalchemy.orm import Session

from app.brews.forms import SearchForm
from app.database import while_unchanged
from app.journal.bags import open_bags
from app.journal.on_hand import on_hand
from app.journal.paging import ROWS_A_PAGE, Page, read_page
from app.journal.recipes import pickable_revisions
from app.journal.rows import rows_as
from app.models import Bag, Bean, Brew, FilterUse, RecipeRevision, Tasting
from app.text import search_text

MOST_WORDS = 8


class FoundBrew(NamedTuple):
    id: int
    brewed_at: datetime


def search_page(
    session: Session, form: SearchForm, args: Mapping[str, str], most: int = ROWS_A_PAGE
) -> Page[FoundBrew]:
    """One page of what the form asks for, newest first."""
    query = select(Brew.id, Brew.brewed_at).where(Brew.binned_at.is_(None))
    moment, row_id = Brew.brewed_at, Brew.id
    if form.filter.data:
        # The index on a filter's uses is in the order of the list already.
        query = query.join(FilterUse, FilterUse.brew_id == Brew.id)
        query = query.where(FilterUse.filter_id == form.filter.data)
        moment, row_id = FilterUse.brewed_at, FilterUse.brew_id
    return read_page(
        lambda limited: rows_as(FoundBrew, session, limited),
        query.where(*_narrowed(session, form)),
        moment,
        row_id,
        lambda row: (row.brewed_at, row.id),
        args,
        most,
    )


def _narrowed(session: Session, form: SearchForm) -> list[ColumnElement[bool]]:
    wanted: list[ColumnElement[bool]] = []
    if form.bag.data:
        wanted.append(Brew.bag_id == form.bag.data)
    if form.recipe.data:
        of_recipe = select(RecipeRevision.id).where(RecipeRevision.recipe_id == form.recipe.data)
        wanted.append(Brew.revision_id.in_(of_recipe))
    if form.since.data:
        first: date = form.since.data
        wanted += [Brew.brewed_on >= first, Brew.brewed_at >= _midnight(first, -1)]
    if form.until.data:
        last: date = form.until.data
        wanted += [Brew.brewed_on <= last, Brew.brewed_at <= _midnight(last, 2)]
    if form.q.data and not form.q.errors:
        wanted += [_says(session, word) for word in search_text(form.q.data).split()[:MOST_WORDS]]
    return wanted


def _midnight(day: date, days: int) -> datetime:
    """Midnight some days off, outside the day in every zone, so that the index on time helps."""
    return datetime.combine(day + timedelta(days=days), time(), UTC)


def _says(session: Session, word: str) -> ColumnElement[bool]:
    """The word stands in the brew's note, a tasting of it, or the bean's names."""
    names = while_unchanged(session, "bean names", lambda: _bean_names(session))
    beans = [bean_id for bean_id, name in names.items() if word in name]
    tasted_as = exists().where(
        Tasting.brew_id == Brew.id,
        Tasting.binned_at.is_(None),
        Tasting.text_search.contains(word, autoescape=True),
    )
    of_bean = Brew.bag_id.in_(select(Bag.id).where(Bag.bean_id.in_(beans)))
    return Brew.note_search.contains(word, autoescape=True) | of_bean | tasted_as


def _bean_names(session: Session) -> dict[int, str]:
    """Folded here, since the database folds English letters only."""
    beans = session.execute(select(Bean.id, Bean.name, Bean.roaster, Bean.origin))
    return {bean.id: search_text(*bean[1:]) for bean in beans}


def search_choices(session: Session, form: SearchForm) -> None:
    """Fill the search's lists: what is in use now, and whatever the address already names."""
    bags = open_bags(session, also=filter(None, [form.bag.data]))
    hand = on_hand(session, also=filter(None, [form.filter.data]))
    recipes = pickable_revisions(session)
    form.bag.pick_from(((row.id, row.bean_name) for row in bags), none="any")
    form.recipe.pick_from(((row.recipe_id, row.name) for row in recipes), none="any")
    form.filter.pick_from(((row.filter_id, row.name) for row in hand), none="any")
