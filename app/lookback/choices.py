"""What the best cups can be narrowed to."""

from sqlalchemy import or_, select
from sqlalchemy.orm import Session

from app.models import Bean

MOST_BEANS = 100


def beans(session: Session, also: int | None) -> list[tuple[int, str]]:
    """The newest beans by name, and `also`."""
    newest = select(Bean.id).where(Bean.binned_at.is_(None)).order_by(Bean.id.desc())
    wanted = or_(Bean.id.in_(newest.limit(MOST_BEANS).scalar_subquery()), Bean.id == also)
    rows = session.execute(select(Bean.id, Bean.name, Bean.roaster).where(wanted))
    named = [(row.id, " · ".join(filter(None, (row.name, row.roaster)))) for row in rows]
    return sorted(named, key=lambda row: (row[1].casefold(), row[0]))
