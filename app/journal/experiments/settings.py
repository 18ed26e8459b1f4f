"""The settings of an experiment's brews: coded, as fields of a brew, in words."""

from collections.abc import Iterable, Mapping
from dataclasses import asdict

from sqlalchemy.orm import Session

from app.formats import Formats
from app.journal.pairs.rows import number_text
from app.journal.pairs.setup import LABELS
from app.journal.rows import values_of
from app.journal.sittings.cups import CupLike, Value, cup_values
from app.models import Brew, RecipeRevision
from app.models.brews import BrewValues
from app.models.recipes import Amounts
from app.sensory.scores.design import Factor


def base_values(session: Session, like_id: int, revision_id: int | None) -> BrewValues:
    """What every brew of an experiment is set like, but for what is varied."""
    revision = session.get(RecipeRevision, revision_id) if revision_id else None
    changes: dict[str, Value] = {}
    if revision is not None:
        changes = asdict(values_of(revision, Amounts)) | {"revision_id": revision.id}
    return cup_values(session, CupLike(like_id, changes))


def settings_at(factors: Iterable[Factor], coded: Iterable[float]) -> dict[str, float]:
    """The settings at coded levels, by field; of fields that count in whole numbers, the nearest.

    >>> settings_at([Factor("steep_s", 90, 125)], [0])
    {'steep_s': 108}
    """
    return {
        factor.name: _stored(factor.name, factor.plain(level))
        for factor, level in zip(factors, coded, strict=True)
    }


def _stored(field: str, value: float) -> float:
    kind = Brew.__table__.c[field].type.python_type
    return round(value) if kind is int else round(value, 2)


def as_stored(settings: Mapping[str, float]) -> dict[str, float | str]:
    """Settings as the columns of a brew take them: a grinder's setting is text."""
    return {
        field: f"{value:g}" if Brew.__table__.c[field].type.python_type is str else value
        for field, value in settings.items()
    }


def number_of(value: object) -> float | None:
    """A setting as a number, where it is one."""
    if isinstance(value, str):
        try:
            return float(value.replace(",", "."))
        except ValueError:
            return None
    return float(value) if isinstance(value, int | float) else None


def setting_in_words(field: str, value: float, formats: Formats) -> str:
    """One setting with its name, such as "dose 17.2 g"."""
    return f"{LABELS[field]} {amount_in_words(field, value, formats)}"


def amount_in_words(field: str, value: float, formats: Formats) -> str:
    text = number_text(field, value, formats)
    return formats.number(value, 2) if text == formats.number(value) else text
