"""Units, decimal sign, currency: the journal stores SI whatever is chosen."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Brew
from tests.support import page
from tests.support.factories import Make


def choose(client: FlaskClient, **chosen: str) -> None:
    values = page.filled(client.get("/settings").text, holding="mass_unit", **chosen)
    assert client.post("/settings", data=values).status_code == 303


def brews(journal: Database) -> list[Brew]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(Brew).order_by(Brew.id)))


def test_plain_settings_are_grams_degrees_and_a_point(client: FlaskClient) -> None:
    values = page.form(client.get("/settings").text, holding="mass_unit")
    assert (values["mass_unit"], values["temp_unit"], values["locale"]) == (["g"], ["°C"], ["en"])
    assert "caffeine" not in values


def test_ounces_and_fahrenheit_are_read_shown_and_stored_as_si(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    make.brew(dose_g=11.0, water_g=200.0, water_temp_c=94.0)
    choose(client, mass_unit="oz", temp_unit="°F")
    opened = client.get("/brews/new").text
    shown = page.form(opened, holding="dose_g")
    assert shown["dose_g"] == ["0.38801"]  # 11 g / 28.349523125 g, the avoirdupois ounce of 1959
    assert shown["water_temp_c"] == ["201.2"]
    client.post("/brews/new", data=page.filled(opened, holding="dose_g", water_g="8"))
    brew = brews(journal)[-1]
    assert (brew.dose_g, brew.water_temp_c) == (11.0, 94.0)
    assert brew.water_g == pytest.approx(8 * 28.349523125, abs=0.001)
    seen = page.text(client.get(f"/brews/{brew.id}").text)
    assert "201.2 °F" in seen
    assert "0.388 oz" in seen


@pytest.mark.parametrize("grams", [0.1, 11.0, 14.75, 999.99, 1999.99])
def test_opening_and_saving_in_ounces_changes_nothing(
    client: FlaskClient, make: Make, journal: Database, grams: float
) -> None:
    brew = make.brew(dose_g=grams, water_g=2000.0, water_temp_c=93.7)
    choose(client, mass_unit="oz", temp_unit="°F", locale="de")
    edit = f"/brews/{brew.id}/edit"
    client.post(edit, data=page.form(client.get(edit).text, holding="dose_g"))
    (kept,) = brews(journal)
    assert (kept.dose_g, kept.water_g, kept.water_temp_c) == (grams, 2000.0, 93.7)


def test_bounds_are_told_in_the_chosen_unit(client: FlaskClient, make: Make) -> None:
    make.brew()
    choose(client, temp_unit="°F")
    values = page.filled(client.get("/brews/new").text, holding="dose_g", water_temp_c="213")
    answer = client.post("/brews/new", data=values)
    assert "Please stay between 32 and 212 °F." in page.text(answer.text)
    assert page.form(answer.text, holding="dose_g")["water_temp_c"] == ["213"]


def test_a_decimal_comma_is_written_and_both_signs_are_read(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    make.brew(dose_g=11.5)
    choose(client, locale="de")
    opened = client.get("/brews/new").text
    assert page.form(opened, holding="dose_g")["dose_g"] == ["11,5"]
    for typed in ("12,5", "12.5"):
        client.post(
            "/brews/new",
            data=page.filled(client.get("/brews/new").text, holding="dose_g", dose_g=typed),
        )
    assert [brew.dose_g for brew in brews(journal)] == [11.5, 12.5, 12.5]
    assert "12,5 g" in page.text(client.get("/brews").text)


@pytest.mark.parametrize(
    ("field", "typed", "message"),
    [
        ("currency", "XXZ", "three letters"),
        ("currency", "", "Please fill this in."),
        ("mass_unit", "stone", "Please choose one from the list."),
        ("locale", "tlh", "Please choose one from the list."),
        ("kettle_efficiency_pct", "0", "Please stay between 10 and 100 %."),
    ],
)
def test_a_slip_in_the_settings_is_named(
    client: FlaskClient, field: str, typed: str, message: str
) -> None:
    values = page.filled(client.get("/settings").text, holding="mass_unit", **{field: typed})
    answer = client.post("/settings", data=values)
    assert answer.status_code == 422
    assert message in page.text(answer.text)
