"""The lists that scripts read: beans, bags, recipes, gear, filters and questions. The latest added
stand first, and what is in the bin is left out."""

import re
from collections.abc import Sequence
from dataclasses import asdict
from typing import NamedTuple, Protocol, TypeVar

from flask import Blueprint
from sqlalchemy import Select, SQLColumnExpression, select
from werkzeug.wrappers import Response

from app.api import list_answers as to
from app.journal.bags import left_g
from app.journal.recipes import is_latest
from app.journal.rows import values_of
from app.journal.uses import last_use, uses_of
from app.models import (
    Bag,
    Bean,
    Brew,
    Brewer,
    Filter,
    FilterPack,
    Grinder,
    Question,
    Recipe,
    RecipeRevision,
    Water,
)
from app.models.beans import BagValues, BeanValues
from app.models.gear import FilterValues
from app.models.recipes import RevisionValues
from app.web.api.operations import operation
from app.web.api.queries import PagedQuery, no_cursor, read_query
from app.web.api.shapes import Listed, answer
from app.web.session import reading

pages = Blueprint("api_lists", __name__, url_prefix="/api/v1")

Query = TypeVar("Query", bound=Select[*tuple[object, ...]])
NUMBER = re.compile(r"[1-9]\d{0,8}", re.ASCII)
BEYOND = 10**9  # every number of a row


class Numbered(Protocol):
    @property
    def id(self) -> int: ...


A = TypeVar("A", bound=Numbered)
G = TypeVar("G", to.BrewerAnswer, to.GrinderAnswer, to.WaterAnswer)


class Asked(NamedTuple):
    """Rows with a number below this, and how many at most."""

    below: int
    most: int


@pages.get("/beans")
@operation("may_read", "Beans", Listed[to.BeanAnswer], query=PagedQuery)
def beans() -> Response:
    asked = _asked()
    query = select(Bean).where(Bean.binned_at.is_(None))
    rows = reading().scalars(_some(query, Bean.id, asked))
    told = [to.BeanAnswer(id=row.id, **asdict(values_of(row, BeanValues))) for row in rows]
    return _answer(told, asked)


@pages.get("/bags")
@operation("may_read", "Bags", Listed[to.BagAnswer], query=PagedQuery)
def bags() -> Response:
    asked = _asked()
    query = (
        select(Bag, Bean.name, left_g(Bag).label("left_g"))
        .join(Bean, Bean.id == Bag.bean_id)
        .where(Bag.binned_at.is_(None))
    )
    told = [
        to.BagAnswer(
            id=bag.id,
            bean_id=bag.bean_id,
            bean_name=name,
            left_g=left,
            **asdict(values_of(bag, BagValues)),
        )
        for bag, name, left in reading().execute(_some(query, Bag.id, asked))
    ]
    return _answer(told, asked)


@pages.get("/recipes")
@operation(
    "may_read", "Recipes by their latest revisions", Listed[to.RecipeAnswer], query=PagedQuery
)
def recipes() -> Response:
    asked = _asked()
    query = (
        select(Recipe, RecipeRevision)
        .join(RecipeRevision, RecipeRevision.recipe_id == Recipe.id)
        .where(Recipe.binned_at.is_(None), is_latest())
    )
    told = [
        to.RecipeAnswer(
            id=recipe.id,
            name=recipe.name,
            note=recipe.note,
            revision_id=revision.id,
            number=revision.number,
            **asdict(values_of(revision, RevisionValues)),
        )
        for recipe, revision in reading().execute(_some(query, Recipe.id, asked))
    ]
    return _answer(told, asked)


@pages.get("/brewers")
@operation("may_read", "Brewers", Listed[to.BrewerAnswer], query=PagedQuery)
def brewers() -> Response:
    return _gear(Brewer, to.BrewerAnswer)


@pages.get("/grinders")
@operation("may_read", "Grinders", Listed[to.GrinderAnswer], query=PagedQuery)
def grinders() -> Response:
    return _gear(Grinder, to.GrinderAnswer)


@pages.get("/waters")
@operation("may_read", "Waters", Listed[to.WaterAnswer], query=PagedQuery)
def waters() -> Response:
    return _gear(Water, to.WaterAnswer)


@pages.get("/filters")
@operation("may_read", "Filters with their uses", Listed[to.FilterAnswer], query=PagedQuery)
def filters() -> Response:
    asked = _asked()
    uses = (Filter.prior_uses + uses_of(Filter)).label("uses")
    query = (
        select(Filter, FilterPack.name, FilterPack.material, uses, last_use(Brew.brewed_on))
        .join(FilterPack, FilterPack.id == Filter.pack_id)
        .where(Filter.binned_at.is_(None), FilterPack.binned_at.is_(None))
    )
    told = [
        to.FilterAnswer(
            id=row.id,
            pack_id=row.pack_id,
            pack_name=name,
            number=row.number,
            material=material,
            uses=count,
            last_used_on=last_on,
            retired_on=row.retired_on,
            **asdict(values_of(row, FilterValues)),
        )
        for row, name, material, count, last_on in reading().execute(_some(query, Filter.id, asked))
    ]
    return _answer(told, asked)


@pages.get("/questions")
@operation("may_read", "Questions", Listed[to.QuestionAnswer], query=PagedQuery)
def questions() -> Response:
    asked = _asked()
    query = select(Question).where(Question.binned_at.is_(None))
    told = [
        to.QuestionAnswer(
            id=row.id,
            text=row.text,
            factors=row.factors,
            state=row.state,
            asked_at=row.asked_at,
            answer=row.answer,
            answered_at=row.answered_at,
        )
        for row in reading().scalars(_some(query, Question.id, asked))
    ]
    return _answer(told, asked)


def _gear(table: type[Brewer | Grinder | Water], of: type[G]) -> Response:
    """An answer of gear has the columns of its table."""
    asked = _asked()
    query = select(table).where(table.binned_at.is_(None))
    rows = reading().scalars(_some(query, table.id, asked))
    return _answer([values_of(row, of) for row in rows], asked)


def _asked() -> Asked:
    query = read_query(PagedQuery)
    cursor = query.cursor.data or ""
    if cursor and not NUMBER.fullmatch(cursor):
        raise no_cursor()
    return Asked(int(cursor) if cursor else BEYOND, query.most)


def _some(query: Query, row_id: SQLColumnExpression[int], asked: Asked) -> Query:
    """Those asked for, and one more if there is one."""
    return query.where(row_id < asked.below).order_by(row_id.desc()).limit(asked.most + 1)


def _answer(told: Sequence[A], asked: Asked) -> Response:
    shown = told[: asked.most]
    return answer(Listed(shown, str(shown[-1].id) if len(told) > asked.most else None))
