"""The cups that a brew is held against: of its bag or its recipe, in brewers alike to its own."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Literal, NamedTuple

from sqlalchemy import ColumnElement, bindparam, literal, select
from sqlalchemy.orm import Session

from app.brewing.strength.estimate import Estimate
from app.journal.alike import alike_ids
from app.journal.along import SetRow, Settings, settings_of
from app.journal.bags import frozen_spans
from app.journal.brews import last_brew_id, newest_ids
from app.journal.estimates import ESTIMATE_COLUMNS, estimate_of, learned
from app.journal.groups.cups import CupRow, Stack, scored_cups, stacks_of
from app.journal.lessons import MeasuredRow
from app.journal.rest import Span
from app.journal.rows import Query, columns_of, split_rows
from app.models import Brew, Brewer, RecipeRevision, Tasting
from app.models.tastings import JUST_RIGHT_SCALES

MOST_BREWS = 400

Scope = Literal["brew", "bag", "recipe"]


class BaseRow(NamedTuple):
    """The brew that is to be changed, with what its brewer holds."""

    id: int
    brewed_on: date
    bag_id: int
    brewer_id: int
    brewer_name: str
    capacity_g: float | None
    recipe_id: int | None


class AnswersRow(NamedTuple):
    """What was said of a cup on the just-right scales in one tasting."""

    jar_strength: int | None
    jar_sweetness: int | None
    jar_acidity: int | None
    jar_bitterness: int | None
    jar_body: int | None
    jar_clarity: int | None

    def steps(self) -> dict[str, int]:
        """By attribute, those that were answered."""
        answers = zip(JUST_RIGHT_SCALES, self, strict=True)
        return {scale: step for scale, step in answers if step is not None}


class TastedCup(NamedTuple):
    cup: CupRow
    answers: AnswersRow


@dataclass(frozen=True, slots=True)
class Base:
    """A brew to be changed: what was set for it, and what came out."""

    row: BaseRow
    measured: MeasuredRow
    estimate: Estimate
    set: SetRow
    stack: Stack


@dataclass(frozen=True, slots=True)
class Held:
    """The brew to be changed, and the latest cups it is held against, oldest first; `settings` are
    those of all their brews, tasted or not."""

    base: Base
    cups: Sequence[TastedCup]
    settings: Settings
    stacks: Mapping[int, Stack]
    frozen: Mapping[int, Sequence[Span]]


def read_held(session: Session, scope: Scope, row_id: int) -> Held | None:
    """Of a bag or a recipe its latest brew is to be changed. None where there is none yet."""
    brew_id = row_id if scope == "brew" else last_brew_id(session, _of(scope, row_id))
    found = brew_id and split_rows(BaseRow, MeasuredRow, session, _base(), {"brew_id": brew_id})
    if not found:
        return None
    row, measured = found[0]
    of = _of("recipe", row_id) if scope == "recipe" else _of("bag", row.bag_id)
    ids = newest_ids(session, MOST_BREWS, of, Brew.brewer_id.in_(alike_ids(row.brewer_id)))
    read = split_rows(CupRow, AnswersRow, session, _tasted(), {"ids": ids}) if ids else []
    settings, stacks = settings_of(session, {*ids, row.id}), stacks_of(session, {*ids, row.id})
    estimate = estimate_of(measured, learned(session))
    return Held(
        Base(row, measured, estimate, settings[row.id], stacks.get(row.id, ())),
        [TastedCup(*one) for one in read],
        {brew_id: settings[brew_id] for brew_id in ids},
        stacks,
        frozen_spans(session, {cup.bag_id for cup, _ in read}),
    )


def _of(scope: Scope, row_id: int) -> ColumnElement[bool]:
    if scope == "bag":
        return Brew.bag_id == row_id
    of_recipe = select(RecipeRevision.id).where(RecipeRevision.recipe_id == row_id)
    return Brew.revision_id.in_(of_recipe)


@cache
def _base() -> Query:
    others = {
        "brewer_name": Brewer.name,
        "capacity_g": Brewer.capacity_g,
        "recipe_id": RecipeRevision.recipe_id,
    }
    return (
        select(*columns_of(BaseRow, Brew, **others), *ESTIMATE_COLUMNS)
        .join(Brewer, Brewer.id == Brew.brewer_id)
        .outerjoin(RecipeRevision, RecipeRevision.id == Brew.revision_id)
        .where(Brew.id == bindparam("brew_id"))
    )


@cache
def _tasted() -> Query:
    nowhere = literal(0)
    return scored_cups(nowhere, nowhere, *columns_of(AnswersRow, Tasting))
