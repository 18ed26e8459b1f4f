"""Reading brews: one, the latest, and the searched list."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from sqlalchemy import ColumnElement, Row, Select, exists, select
from sqlalchemy.orm import Session, joinedload, selectinload

from ..bags.queries import open_bags
from ..brewing.estimate import Reading
from ..fields import search_text
from ..filters.uses import Use, on_hand, uses_of_brews
from ..keyset import Page, read_page
from ..models import (
    Bag,
    Bean,
    Brew,
    Brewer,
    BrewPhoto,
    FilterUse,
    Grinder,
    Recipe,
    RecipeRevision,
    SideBySide,
    Tasting,
    Water,
)
from ..recipes.queries import pickable_revisions
from ..tastings.queries import mean_liking
from .forms import SearchForm
from .readings import READING_COLUMNS, learned, reading_of

BrewRow = Row[*tuple[Any, ...]]


@dataclass(frozen=True, slots=True)
class ReadBrew:
    """A brew as lists show it: its row, its reading, its stack of filters."""

    row: BrewRow
    reading: Reading
    stack: list[Use]


def brew_rows() -> Select[*tuple[Any, ...]]:
    """Brews with the names a list shows; those in the bin left out."""
    return _rows().where(Brew.binned_at.is_(None))


def _rows() -> Select[*tuple[Any, ...]]:
    return (
        select(
            Brew.id,
            Brew.brewed_at,
            Brew.brewed_on,
            Brew.zone,
            Brew.bag_id,
            Brew.flipped,
            Brew.note,
            *READING_COLUMNS,
            Bean.name.label("bean_name"),
            Brewer.name.label("brewer_name"),
            Recipe.name.label("recipe_name"),
            RecipeRevision.recipe_id,
            RecipeRevision.number.label("revision_number"),
            mean_liking(Brew).label("liking"),
        )
        .join(Bag, Bag.id == Brew.bag_id)
        .join(Bean, Bean.id == Bag.bean_id)
        .join(Brewer, Brewer.id == Brew.brewer_id)
        .outerjoin(RecipeRevision, RecipeRevision.id == Brew.revision_id)
        .outerjoin(Recipe, Recipe.id == RecipeRevision.recipe_id)
    )


def read_brews(session: Session, rows: list[BrewRow]) -> list[ReadBrew]:
    """The rows with their readings and filters."""
    stacks = uses_of_brews(session, [row.id for row in rows])
    known = learned(session)
    return [ReadBrew(row, reading_of(row, known), stacks.get(row.id, [])) for row in rows]


def search_page(session: Session, form: SearchForm, args: Mapping[str, str]) -> Page[BrewRow]:
    return read_page(
        lambda query: session.execute(query).all(),
        brew_rows().where(*_narrowed(session, form)),
        Brew.brewed_at,
        Brew.id,
        lambda row: (row.brewed_at, row.id),
        args,
    )


def _narrowed(session: Session, form: SearchForm) -> list[ColumnElement[bool]]:
    wanted: list[ColumnElement[bool]] = []
    if form.bag.data:
        wanted.append(Brew.bag_id == form.bag.data)
    if form.recipe.data:
        of_recipe = select(RecipeRevision.id).where(RecipeRevision.recipe_id == form.recipe.data)
        wanted.append(Brew.revision_id.in_(of_recipe))
    if form.filter.data:
        through = select(FilterUse.brew_id).where(FilterUse.filter_id == form.filter.data)
        wanted.append(Brew.id.in_(through))
    if form.since.data:
        wanted += [Brew.brewed_on >= form.since.data, Brew.brewed_at >= _midnight(form.since, -1)]
    if form.until.data:
        wanted += [Brew.brewed_on <= form.until.data, Brew.brewed_at <= _midnight(form.until, 2)]
    if form.q.data and not form.q.errors:
        wanted += _says(session, search_text(form.q.data).split()[:8])
    return wanted


def _midnight(field: Any, days: int) -> datetime:
    """A moment that surely lies outside the day in every zone, so the time index is of use."""
    day: date = field.data
    return datetime.combine(day + timedelta(days=days), time(), UTC)


def _says(session: Session, words: list[str]) -> list[ColumnElement[bool]]:
    """Each word stands in the brew's note, a tasting of it, or the bean's names."""
    beans = session.execute(select(Bean.id, Bean.name, Bean.roaster, Bean.origin)).all()
    names = {bean.id: search_text(*bean[1:]) for bean in beans}
    return [
        Brew.note_search.contains(word, autoescape=True)
        | Bag.bean_id.in_([bean_id for bean_id, name in names.items() if word in name])
        | _tasted_as(word)
        for word in words
    ]


def _tasted_as(word: str) -> ColumnElement[bool]:
    return exists().where(
        Tasting.brew_id == Brew.id,
        Tasting.binned_at.is_(None),
        Tasting.text_search.contains(word, autoescape=True),
    )


def read_one(session: Session, brew_id: int) -> ReadBrew:
    """One brew as lists show it, in the bin or not; it must exist."""
    return read_brews(session, [session.execute(_rows().where(Brew.id == brew_id)).one()])[0]


def brew_to_change(session: Session, brew_id: int) -> Brew | None:
    """The brew with its stack, to be edited or copied."""
    query = (
        select(Brew)
        .where(Brew.id == brew_id)
        .options(selectinload(Brew.stack).joinedload(FilterUse.filter))
    )
    return session.scalars(query).first()


def brew_page(session: Session, brew_id: int) -> Brew | None:
    """The brew with everything its page names, in the bin or not."""
    query = (
        select(Brew)
        .where(Brew.id == brew_id)
        .options(
            joinedload(Brew.bag).joinedload(Bag.bean),
            joinedload(Brew.bag).selectinload(Bag.frozen),
            joinedload(Brew.brewer),
            joinedload(Brew.grinder),
            joinedload(Brew.water),
            joinedload(Brew.revision).joinedload(RecipeRevision.recipe),
        )
    )
    return session.scalars(query).first()


def last_brew_id(session: Session, bag_id: int | None = None) -> int | None:
    """The newest brew, of one bag if named."""
    query = select(Brew.id).where(Brew.binned_at.is_(None))
    if bag_id is not None:
        query = query.where(Brew.bag_id == bag_id)
    return session.scalar(query.order_by(Brew.brewed_at.desc(), Brew.id.desc()).limit(1))


def photo_alt(session: Session, brew_id: int) -> str | None:
    """What the brew's photo shows; None where there is no photo."""
    return session.scalar(select(BrewPhoto.alt).where(BrewPhoto.brew_id == brew_id))


def pickable_gear(session: Session, kept: Brew | None) -> dict[str, list[tuple[int, str]]]:
    """Brewers, grinders and waters to pick from by name, and those of `kept` even if binned."""
    found = {}
    for key, model in (("brewer_id", Brewer), ("grinder_id", Grinder), ("water_id", Water)):
        wanted = model.binned_at.is_(None)
        if kept is not None and getattr(kept, key) is not None:
            wanted = wanted | (model.id == getattr(kept, key))
        query = select(model.id, model.name).where(wanted).order_by(model.name)
        found[key] = [(row.id, row.name) for row in session.execute(query)]
    return found


def saved_comparisons(session: Session, brew_id: int) -> list[Row[*tuple[Any, ...]]]:
    """Side-by-sides kept of this brew, newest first."""
    query = (
        select(
            SideBySide.brew_a_id, SideBySide.brew_b_id, SideBySide.saved_at, SideBySide.preference
        )
        .where(
            SideBySide.binned_at.is_(None),
            (SideBySide.brew_a_id == brew_id) | (SideBySide.brew_b_id == brew_id),
        )
        .order_by(SideBySide.saved_at.desc())
        .limit(20)
    )
    return list(session.execute(query))


def search_choices(session: Session, form: SearchForm) -> None:
    """Fill the search's lists: what is in use now, and whatever the address already names."""
    bags = open_bags(session, also=_named(form.bag.data))
    recipes = {row.recipe_id: row.name for row in pickable_revisions(session)}
    hand = on_hand(session, also=_named(form.filter.data))
    any_of: dict[Any, str] = {"": "any"}
    form.bag.choices = any_of | {row.id: row.bean_name for row in bags}
    form.recipe.choices = any_of | recipes
    form.filter.choices = any_of | {row.filter_id: row.name for row in hand}


def _named(row_id: int | None) -> list[int]:
    return [row_id] if row_id else []
