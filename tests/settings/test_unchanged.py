"""A form opened and saved as it is changes nothing, in whatever units the household writes."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Base, Change
from tests.support import page
from tests.support.factories import Make

FORMS = {
    "/brews/1/edit": "dose_g",
    "/bags/1/edit": "net_g",
    "/recipes/1/revise": "dose_g",
    "/recipes/2/revise": "dose_g",
    "/filters/packs/1/edit": "count",
    "/filters/1/edit": "rinse",
    "/gear/brewers/1/edit": "kind",
    "/gear/grinders/1/edit": "scale",
    "/gear/waters/1/edit": "hardness_mg_l",
    "/settings/": "mass_unit",
}
OTHER_UNITS = {"mass_unit": "oz", "temp_unit": "°F", "locale": "de"}


@pytest.fixture
def fine(make: Make) -> None:
    """Values with more digits than any form shows."""
    pour = {"kind": "pour", "starts_s": 0, "grams": 123.4567891, "note": "in circles"}
    brewer = make.brewer(capacity_g=251.1234567, capacity_dose_g=15.7654321)
    make.grinder(um_per_step=12.3456789)
    make.water(hardness_mg_l=71.1234567, alkalinity_mg_l=33.3333333)
    bag = make.bag(net_g=249.9876543, price_minor=1299, currency="EUR")
    how = {"dose_g": 14.1234567, "water_g": 221.7654321, "water_temp_c": 93.4567891}
    make.recipe(**how, steps=[pour])
    brewed = make.recipe(**how, bypass_g=33.3333333, steps=[pour], brewer_id=brewer.id)
    pack = make.pack(mass_g=0.1718281, price_minor=455, currency="EUR")
    make.brew(bag, brewer, brewed, filters=[make.filter(pack)], **how, tds_pct=1.3579246)


def choose(client: FlaskClient, **chosen: str) -> None:
    values = page.filled(client.get("/settings/").text, holding="mass_unit", **chosen)
    assert client.post("/settings/", data=values).status_code == 303


def rows(journal: Database) -> dict[str, list[tuple[object, ...]]]:
    """Everything but the keys of forms."""
    tables = [table for name, table in Base.metadata.tables.items() if name != "saved_form"]
    with Session(journal.reader) as session:
        return {
            table.name: [tuple(row) for row in session.execute(select(table))] for table in tables
        }


@pytest.mark.usefixtures("fine")
@pytest.mark.parametrize("units", [{}, OTHER_UNITS], ids=["SI", "oz, °F, comma"])
@pytest.mark.parametrize("address", FORMS)
def test_saved_as_it_is_it_changes_nothing_and_clashes_with_nothing(
    client: FlaskClient, journal: Database, address: str, units: dict[str, str]
) -> None:
    """Not a digit of what is stored, no earlier version, no other revision, no clash."""
    choose(client, **units)
    before = rows(journal)
    first, second = (page.form(client.get(address).text, holding=FORMS[address]) for _ in "12")
    for sent in (first, second):
        assert client.post(address, data=sent).status_code == 303
    assert rows(journal) == before


@pytest.mark.usefixtures("fine")
@pytest.mark.parametrize("typed", ["15", "a slip first"])
def test_a_form_is_read_in_the_units_it_was_shown_in(
    client: FlaskClient, journal: Database, typed: str
) -> None:
    """Grams that were typed before somebody chose ounces stay grams."""
    address = "/brews/1/edit"
    sent = page.filled(client.get(address).text, holding="dose_g", dose_g=typed)
    new = page.filled(client.get("/brews/new").text, holding="dose_g", dose_g="15")
    choose(client, **OTHER_UNITS)
    if typed != "15":
        refused = client.post(address, data=sent)
        assert refused.status_code == 422
        sent = page.filled(refused.text, holding="dose_g", dose_g="15")
    assert client.post(address, data=sent).status_code == 303
    assert client.post("/brews/new", data=new).status_code == 303
    for brew in rows(journal)["brew"]:
        assert 15.0 in brew
        assert any(isinstance(value, float) and abs(value - 221.7654321) < 1e-5 for value in brew)
    assert "0,529 oz" in page.text(client.get("/brews/1").text)


@pytest.mark.usefixtures("fine")
def test_the_history_is_written_in_the_units_of_who_reads_it(client: FlaskClient) -> None:
    sent = page.filled(
        client.get("/recipes/1/revise").text, holding="dose_g", water_temp_c="90",
        **{"steps-0-grams": "200"},
    )  # fmt: skip
    client.post("/recipes/1/revise", data=sent)
    assert "90 °C" in page.text(client.get("/history/recipe/1").text)
    choose(client, **OTHER_UNITS)
    shown = page.text(client.get("/history/recipe/1").text)
    assert "200,22222 °F 194 °F" in shown
    assert "water or ice 7,05479 oz, note in circles" in shown
    earlier = page.form(client.get("/recipes/1/revise?before_change=1").text, holding="dose_g")
    assert earlier["water_temp_c"] == ["200,22222"]
    assert earlier["steps-0-grams"] == ["4,35481"]


def test_settings_without_a_row_have_a_version_and_an_earlier_one(
    client: FlaskClient, journal: Database
) -> None:
    """C2: the first change of a new journal's settings is told, too."""
    first, second = (
        page.filled(client.get("/settings/").text, holding="mass_unit", **typed)
        for typed in ({"currency": "JPY"}, {"kettle_efficiency_pct": "80"})
    )
    assert client.post("/settings/", data=first).status_code == 303
    told = client.post("/settings/", data=second)
    assert told.status_code == 409
    assert client.post("/settings/", data=page.form(told.text, holding="seen")).status_code == 303
    kept = page.form(client.get("/settings/").text, holding="mass_unit")
    assert (kept["currency"], kept["kettle_efficiency_pct"]) == (["JPY"], ["80"])
    with Session(journal.reader) as session:
        assert session.scalar(select(func.count()).select_from(Change)) == 2
    earlier = page.form(client.get("/settings/?before_change=1").text, holding="mass_unit")
    assert (earlier["currency"], earlier["kettle_efficiency_pct"]) == (["EUR"], ["85"])
