"""Recipes as a table: what the latest revision of each says, with its steps in words."""

from collections.abc import Sequence
from dataclasses import dataclass, fields

from sqlalchemy import select
from sqlalchemy.orm import Session, joinedload, selectinload

from app.formats import Formats
from app.journal.as_table import Column
from app.journal.gear import gear_names
from app.models import Brewer, RecipeRevision
from app.models.recipes import Amounts
from app.recipes.queries import ListedRecipe
from app.recipes.words import RevisionWords

# As stored, whatever the household reads: plain numbers with a point.
WORDS = RevisionWords(Formats(space=" "), {})


@dataclass(frozen=True, slots=True)
class RecipeLine:
    listed: ListedRecipe
    latest: RecipeRevision
    brewer: str


def recipe_lines(session: Session, listed: Sequence[ListedRecipe]) -> list[RecipeLine]:
    query = (
        select(RecipeRevision)
        .where(RecipeRevision.id.in_([row.revision_id for row in listed]))
        .options(joinedload(RecipeRevision.recipe), selectinload(RecipeRevision.steps))
    )
    latest = {revision.id: revision for revision in session.scalars(query)}
    names = gear_names(session, Brewer, (revision.brewer_id for revision in latest.values()))
    return [
        RecipeLine(row, one := latest[row.revision_id], names.get(one.brewer_id, ""))
        for row in listed
    ]


def _amount(name: str) -> Column[RecipeLine]:
    return Column(name, lambda row, _zone: getattr(row.latest, name))


RECIPE_COLUMNS: list[Column[RecipeLine]] = [
    Column("recipe_id", lambda row, _zone: row.listed.id),
    Column("name", lambda row, _zone: row.listed.name),
    Column("revision", lambda row, _zone: row.listed.number),
    Column("brewer", lambda row, _zone: row.brewer),
    *(_amount(one.name) for one in fields(Amounts)),
    Column("steps", lambda row, _zone: [WORDS.step(step) for step in row.latest.steps]),
    Column("last_brewed_on", lambda row, _zone: row.listed.last_on),
    Column("why", lambda row, _zone: row.latest.why),
    Column("note", lambda row, _zone: row.listed.note),
]
