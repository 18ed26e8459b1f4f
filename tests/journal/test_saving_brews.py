"""Brews and tastings saved from plain values, as a page, an import or a script does it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from app.database import Database
from app.journal.bin import put_in_bin, take_from_bin
from app.journal.saving_brews import BrewEntry, StackedFilter, add_brew, change_brew
from app.journal.tastings import TastingEntry, add_tasting, change_tasting
from app.models import Brew, Filter, Tasting
from app.models.brews import BrewValues
from app.models.tastings import TastingValues
from tests.support.clock import NOON, moment
from tests.support.factories import Make

ENTRY = BrewEntry(
    BrewValues(dose_g=13.0, water_g=210.0, press_effort=2, note="Short Évening cup"),
    NOON,
    new_bean="Cellar Door",
    new_brewer_kind="immersion",
)


def saved(session: Session) -> list[Brew]:
    return list(session.scalars(select(Brew).options(selectinload(Brew.stack))))


def test_a_brew_creates_the_bean_and_the_brewer_that_are_new(journal: Database) -> None:
    with journal.write_session() as session, session.begin():
        brew = add_brew(session, ENTRY, "Asia/Tokyo", "one")
        assert (brew.bag_id, brew.brewer_id) == (1, 1)
        assert (brew.dose_g, brew.press_effort, brew.grind) == (13.0, 2, "")
        assert brew.brewed_on.isoformat() == NOON.date().isoformat()
        assert brew.note_search.strip() == "short evening cup"


def test_a_brew_keeps_the_key_of_its_form_and_one_without_gets_its_own(journal: Database) -> None:
    with journal.write_session() as session, session.begin():
        first = add_brew(session, ENTRY, "UTC", "one")
        assert first.entry_key == "one"
        values = replace(ENTRY.values, bag_id=first.bag_id, brewer_id=first.brewer_id)
        plain = BrewEntry(values, NOON)
        assert add_brew(session, plain, "UTC").id != add_brew(session, plain, "UTC").id
        assert len(saved(session)) == 3


def test_filters_are_taken_stacked_and_retired(journal: Database, make: Make) -> None:
    pack = make.pack(count=2)
    used = make.filter(pack)
    entry = replace(
        ENTRY, stack=[StackedFilter(filter_id=used.id, retire=True), StackedFilter(pack_id=pack.id)]
    )
    with journal.write_session() as session, session.begin():
        brew = add_brew(session, entry, "UTC")
        assert [(use.position, use.filter_id) for use in brew.stack] == [
            (1, used.id),
            (2, used.id + 1),
        ]
        assert session.get_one(Filter, used.id).retired_on == brew.brewed_on
        with pytest.raises(ValueError, match="empty"):
            add_brew(session, entry, "UTC")


def test_a_changed_brew_keeps_its_zone_and_moves_its_uses(journal: Database, make: Make) -> None:
    made = make.brew(filters=[make.filter()], zone="Asia/Tokyo")
    earlier = moment("2026-01-03T22:30")
    values = BrewValues(bag_id=made.bag_id, brewer_id=made.brewer_id, dose_g=12.0, water_g=200.0)
    entry = BrewEntry(values, earlier, [StackedFilter(filter_id=made.stack[0].filter_id)])
    with journal.write_session() as session, session.begin():
        (brew,) = saved(session)
        change_brew(session, brew, entry)
    with journal.read_session() as session:
        (brew,) = saved(session)
        assert (brew.dose_g, brew.brewed_at, brew.brewed_on.day) == (12.0, earlier, 4)
        assert [use.brewed_at for use in brew.stack] == [earlier]


def test_a_tasting_names_a_taster_or_points_at_one(journal: Database, make: Make) -> None:
    brew = make.brew()
    entry = TastingEntry(TastingValues(liking=6, words="Plum"), NOON, new_taster="Wren")
    with journal.write_session() as session, session.begin():
        tasting = add_tasting(session, entry, brew.id, "UTC", "key")
        assert tasting.entry_key == "key"
        by_id = TastingEntry(TastingValues(jar_body=2), NOON, taster_id=tasting.taster_id)
        change_tasting(session, tasting, by_id)
    with journal.read_session() as session:
        (kept,) = session.scalars(select(Tasting))
        assert (kept.liking, kept.jar_body, kept.words, kept.text_search) == (None, 2, "", "")


def test_the_bin_keeps_the_first_moment(journal: Database, make: Make) -> None:
    made = make.brew()
    with journal.write_session() as session, session.begin():
        brew = session.get_one(Brew, made.id)
        put_in_bin(brew, NOON)
        put_in_bin(brew, moment("2027-01-01T00:00"))
        assert brew.binned_at == NOON
        take_from_bin(brew)
        assert brew.binned_at is None
