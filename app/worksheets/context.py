"""What every worksheet works with: where it starts, the gear, what the journal has learned."""

from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.journal import gear
from app.journal.estimates import Learned, learned
from app.journal.gear import BrewerRow
from app.models import Grinder, Settings
from app.web.household import household
from app.worksheets.start import Start, start_from


@dataclass(frozen=True)
class SheetContext:
    """`args` is the URL's query, `usual` the brewer and grinder of the newest brew."""

    session: Session
    args: Mapping[str, str]
    start: Start
    house: Settings
    learned: Learned
    brewers: Mapping[int, BrewerRow]
    grinders: list[tuple[int, str]]
    usual: tuple[int | None, int | None]


def open_context(session: Session, args: Mapping[str, str]) -> SheetContext:
    start = start_from(session, args)
    brewers = gear.brewers(session, start.made.brewer_id if start.made else None)
    return SheetContext(
        session,
        args,
        start,
        household(),
        learned(session),
        {row.id: row for row in brewers},
        gear.pick_list(session, Grinder, start.noted.grinder_id if start.noted else None),
        gear.usual_gear(session),
    )
