"""The two habits of a household: its last brew, and the last one of another kind.

Who brewed is not noted; a cup that one person alone tasted is taken as theirs.
"""

from functools import cache
from math import isclose
from typing import NamedTuple

from sqlalchemy import bindparam, func, select
from sqlalchemy.orm import Session

from app.journal.rows import Query, columns_of, rows_as
from app.models import Brew, Recipe, RecipeRevision, Taster, Tasting

LOOK_BACK = 40
SAME_AMOUNT = 0.1


class Habit(NamedTuple):
    """A brew as a habit: whose it is (None: nobody's, or several people's) and by which recipe."""

    id: int
    whose: str | None
    recipe_id: int | None
    recipe_name: str | None
    dose_g: float
    water_g: float


def other_habit(session: Session, last_id: int) -> Habit | None:
    """The newest brew of another habit than the brew `last_id`, the newest; None if there is none
    lately."""
    lately = rows_as(Habit, session, _lately(), {"most": LOOK_BACK})
    last = next((one for one in lately if one.id == last_id), None)
    return last and next((one for one in lately if differs(one, last)), None)


def differs(one: Habit, other: Habit) -> bool:
    """Whether two brews are of different people or recipes; without a recipe, amounts tell."""
    if one.whose and other.whose and one.whose != other.whose:
        return True
    if one.recipe_id or other.recipe_id:
        return one.recipe_id != other.recipe_id
    return not (
        isclose(one.dose_g, other.dose_g, rel_tol=SAME_AMOUNT)
        and isclose(one.water_g, other.water_g, rel_tol=SAME_AMOUNT)
    )


@cache
def _lately() -> Query:
    of_brew = (Tasting.brew_id == Brew.id, Tasting.binned_at.is_(None))
    whose = (
        select(func.min(Taster.name))
        .join(Tasting, Tasting.taster_id == Taster.id)
        .where(*of_brew)
        .having(func.count(Taster.id.distinct()) == 1)
        .correlate(Brew)
        .scalar_subquery()
    )
    named = {"whose": whose, "recipe_id": Recipe.id, "recipe_name": Recipe.name}
    return (
        select(*columns_of(Habit, Brew, **named))
        .outerjoin(RecipeRevision, RecipeRevision.id == Brew.revision_id)
        .outerjoin(Recipe, Recipe.id == RecipeRevision.recipe_id)
        .where(Brew.binned_at.is_(None))
        .order_by(Brew.brewed_at.desc(), Brew.id.desc())
        .limit(bindparam("most"))
    )
