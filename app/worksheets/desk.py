"""What lies ready beside every worksheet: where it starts, the gear, what was learned."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy.orm import Session

from app.journal import gear
from app.journal.estimates import Learned, learned
from app.models import Grinder, Settings
from app.web.household import household
from app.worksheets.start import Start, start_from


@dataclass(frozen=True)
class Desk:
    """`args` is the address, `usual` the brewer and grinder of the newest brew."""

    session: Session
    args: Mapping[str, str]
    start: Start
    house: Settings
    learned: Learned
    brewers: Mapping[int, Any]
    grinders: list[tuple[int, str]]
    usual: tuple[int | None, int | None]


def open_desk(session: Session, args: Mapping[str, str]) -> Desk:
    start = start_from(session, args)
    brewers = gear.brewers(session, start.values.get("brewer_id"))
    return Desk(
        session,
        args,
        start,
        household(),
        learned(session),
        {row.id: row for row in brewers},
        gear.pick_list(session, Grinder, start.values.get("grinder_id")),
        gear.usual_gear(session),
    )
