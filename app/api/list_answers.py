"""Rows of the lists that scripts read: what was noted of each, and its number."""

from dataclasses import dataclass
from datetime import date, datetime

from app.models.beans import BagValues, BeanValues
from app.models.gear import BrewerValues, FilterValues, GrinderValues, WaterValues
from app.models.recipes import RevisionValues


@dataclass(frozen=True, slots=True, kw_only=True)
class BeanAnswer(BeanValues):
    """A bean."""

    id: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BagAnswer(BagValues):
    """A bag; `left_g` is what its brews and corrections leave of its net weight."""

    id: int
    bean_id: int
    bean_name: str
    left_g: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RecipeAnswer(RevisionValues):
    """A recipe as its latest revision has it; `revision_id` is what a brew names."""

    id: int
    name: str
    note: str
    revision_id: int
    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BrewerAnswer(BrewerValues):
    """A brewer."""

    id: int


@dataclass(frozen=True, slots=True, kw_only=True)
class GrinderAnswer(GrinderValues):
    """A grinder."""

    id: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterAnswer(WaterValues):
    """A water to brew with; hardness and alkalinity as CaCO3."""

    id: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FilterAnswer(FilterValues):
    """A filter taken out of its pack; `uses` counts its brews and those before the journal."""

    id: int
    pack_id: int
    pack_name: str
    number: int
    material: str
    uses: int
    last_used_on: date | None
    retired_on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionAnswer:
    """A question of the practice, and its answer once there is one."""

    id: int
    text: str
    factors: list[str]
    state: str
    asked_at: datetime
    answer: str
    answered_at: datetime | None
