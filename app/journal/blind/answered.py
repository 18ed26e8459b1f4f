"""When blind tests were first answered, which says nothing of what was answered."""

from datetime import datetime

from sqlalchemy import Select, func, select

from app.models import Trial


def first_answers() -> Select[int, datetime | None]:
    """The moment of the first answer (`answered_at`) by `test_id`, warm-ups left out."""
    return (
        select(Trial.test_id, func.min(Trial.answered_at).label("answered_at"))
        .where(Trial.answered_at.is_not(None), Trial.warm_up.is_(False))
        .group_by(Trial.test_id)
    )
