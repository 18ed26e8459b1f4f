"""Names that were made one in one journal are one in another, and can be made two again there."""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy import select

from app.database import Database
from app.journal.names import changing, taking_back
from app.journal.names.listing import one_named
from app.models import NameChange, Taster, Tasting
from tests.exchange.conftest import NOW, into, out
from tests.support.factories import Make


def test_tasters_made_one_come_in_as_one_and_can_be_two_again(
    sqlite_journal: Database, another: Callable[[str], Database]
) -> None:
    make = Make(sqlite_journal)
    first, second = make.taster(name="Jun"), make.taster(name="Juniper")  # into a later row
    for taster in (first, second, first):
        make.tasting(make.brew(), taster)
    with sqlite_journal.writing() as session:
        names = (one_named(session, "taster", row.id) for row in (first, second))
        changing.merge(session, *(one for one in names if one), NOW)
    empty, filled = another("empty"), another("filled")
    theirs = Make(filled)
    for name in ("Sage", "Thyme", "Rowan"):
        brew = theirs.brew(entry_key=f"brew {name}")
        theirs.tasting(brew, theirs.taster(name=name), entry_key=f"tasting {name}")
    for journal in (empty, filled):
        into(journal, out(sqlite_journal))
        with journal.writing() as session:
            one = session.scalars(select(Taster).where(Taster.name == "Jun")).one()
            other = session.scalars(select(Taster).where(Taster.name == "Juniper")).one()
            assert one.same_as_id == other.id
            change = session.scalars(select(NameChange)).one()
            taken = taking_back.take_back(session, change, NOW)
            assert (taken.back, taken.stay) == (2, 0)
            own = select(Tasting.id).where(Tasting.taster_id == one.id)
            assert len(session.scalars(own).all()) == 2
