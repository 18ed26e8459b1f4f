"""Bags, packs and gear saved from plain values."""

from __future__ import annotations

from datetime import date

from sqlalchemy.orm import Session

from app.database import Database
from app.journal.gear import add_gear, gear_names, pick_list
from app.journal.packs import add_pack, take_fresh
from app.journal.rows import values_of
from app.journal.saving_bags import add_bag, change_bag, finish
from app.journal.settings import last_currency
from app.models import Bag, Bean, Brewer, FilterPack, Grinder, Water
from app.models.beans import BagValues, BeanValues
from app.models.gear import BrewerValues, GrinderValues, PackValues, WaterValues
from tests.support.clock import NOON

BEAN = BeanValues(name="Harbour Light", robusta_pct=20.0)
BAG = BagValues(net_g=350.0, price_minor=1290, currency="SEK")


def writing(journal: Database) -> Session:
    return journal.write_session()


def test_a_bag_brings_its_bean_or_belongs_to_a_known_one(journal: Database) -> None:
    with writing(journal) as session, session.begin():
        first = add_bag(session, BAG, BEAN)
        second = add_bag(session, BAG, first.bean_id)
        assert (first.bean_id, second.bean_id) == (1, 1)
        assert values_of(session.get_one(Bean, 1), BeanValues) == BEAN
        assert values_of(second, BagValues) == BAG
        renamed = BeanValues(name="Harbour Night", decaf=True)
        change_bag(session, second, BagValues(currency="NOK", note="half gone"), renamed)
        assert values_of(session.get_one(Bean, 1), BeanValues) == renamed
        assert (second.net_g, second.note) == (None, "half gone")
        session.flush()
        assert last_currency(session, Bag) == "NOK"
        assert last_currency(session, FilterPack) == "EUR"


def test_a_bag_is_not_finished_before_it_is_opened(journal: Database) -> None:
    with writing(journal) as session, session.begin():
        bag = add_bag(session, BagValues(currency="EUR", opened_on=date(2026, 4, 9)), BEAN)
        finish(bag, date(2026, 4, 2))
        assert bag.finished_on == date(2026, 4, 9)


def test_a_pack_gives_its_filters(journal: Database) -> None:
    values = PackValues(name="Squares", material="cloth", count=2, currency="EUR", mass_g=3.2)
    with writing(journal) as session, session.begin():
        pack = add_pack(session, values)
        assert values_of(pack, PackValues) == values
        assert [take_fresh(session, pack.id).number for _ in range(2)] == [1, 2]


def test_gear_is_picked_by_name_whatever_its_case(journal: Database) -> None:
    with writing(journal) as session, session.begin():
        ids = [
            add_gear(session, Brewer, BrewerValues(name=name, kind="cone")).id
            for name in ("zinc cone", "Amber cone", "brass cone")
        ]
        grinder = add_gear(session, Grinder, GrinderValues(name="Old mill", scale="marks"))
        add_gear(session, Water, WaterValues(name="Well", hardness_mg_l=90.0))
        names = [name for _, name in pick_list(session, Brewer)]
        assert names == ["Amber cone", "brass cone", "zinc cone"]
        grinder.binned_at = NOON
        session.flush()
        assert pick_list(session, Grinder) == []
        assert pick_list(session, Grinder, also=grinder.id) == [(grinder.id, "Old mill")]
        assert gear_names(session, Brewer, [ids[0], None]) == {ids[0]: "zinc cone"}
