"""Where a worksheet's numbers come from: the last brew, else invented ones."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from tests.support import page
from tests.support.clock import A_DAY, NOON
from tests.support.factories import Make
from tests.support.worksheets import KEEPING, ask, brew_links, keep, said, typed_into

MADE = {"dose_g": 13.3, "water_g": 231.0, "water_temp_c": 86.0, "steep_s": 77}


def started(client: FlaskClient, name: str, query: str = "") -> dict[str, str]:
    """The first value of each field of the worksheet as it opens."""
    return {field: values[0] for field, values in typed_into(client, name, query).items()}


@pytest.mark.parametrize("name", KEEPING)
def test_it_starts_from_the_last_brew(client: FlaskClient, make: Make, name: str) -> None:
    make.brew(dose_g=29.9, water_g=444.0, brewed_at=NOON - A_DAY)
    make.put_in_the_bin(make.brew(dose_g=9.9, water_g=88.0, brewed_at=NOON + A_DAY))
    newest = make.brew(**MADE, brewed_at=NOON)
    opened = started(client, name)
    assert opened["brew"] == str(newest.id)
    assert opened["water_temp_c" if name != "scale" else "dose_g"] in ("86", "13.3")
    if name != "strength":
        assert (opened["dose_g"], opened["water_g"]) == ("13.3", "231")
    assert "From the last brew, " in page.text(client.get(f"/worksheets/{name}").text)


def test_without_a_brew_and_from_numbers_alone_it_starts_from_invented_ones(
    client: FlaskClient, make: Make
) -> None:
    invented = started(client, "scale")
    assert "brew" not in invented
    make.brew(**MADE)
    listed = client.get("/worksheets/scale/from").text
    assert 'href="/worksheets/scale?numbers=1"' in listed
    again = started(client, "scale", "?numbers=1")
    assert again | {"brewer": invented["brewer"]} == invented


def test_numbers_in_the_address_stay_what_they_are_when_a_brew_comes(
    client: FlaskClient, make: Make
) -> None:
    """What was worked out from numbers alone, kept as a bookmark."""
    before = said(client, "scale", "?dose_g=21&water_g=333&to_cups=3")
    make.brew(**MADE)
    after = said(client, "scale", "?dose_g=21&water_g=333&to_cups=3")
    assert "63 g dose 999 g brew water" in before
    assert "63 g dose 999 g brew water" in after


def test_a_brew_logged_meanwhile_changes_nothing_of_an_open_sheet(
    client: FlaskClient, make: Make
) -> None:
    first = make.brew(**MADE, brewed_at=NOON)
    values = typed_into(client, "scale")
    opened = client.get("/worksheets/scale").text
    make.brew(dose_g=29.9, water_g=444.0, brewed_at=NOON + A_DAY)
    typed = client.get("/worksheets/scale", query_string=values).text
    assert "26.6 g dose 462 g brew water" in page.text(typed)
    assert brew_links(typed)[0]["like"] == str(first.id)
    answer = keep(client, opened, **{"as": "new"})
    assert "26.6 g" in page.text(client.get(answer.location).text)


def test_water_and_paper_start_from_those_of_the_last_brew(client: FlaskClient, make: Make) -> None:
    tap = make.water(name="Well", hardness_mg_l=143.0, alkalinity_mg_l=96.0)
    pack = make.pack(count=50, price_minor=650, currency="CHF", mass_g=0.8)
    make.brew(water_id=tap.id, filters=[make.filter(pack)])
    water, paper = started(client, "water"), started(client, "paper")
    assert (water["first"], water["target"]) == (str(tap.id), "80")  # halfway from 17 to 143
    assert (paper["pack"], paper["paper_price"], paper["paper_mass_g"]) == (
        str(pack.id), "0.13", "0.8",
    )  # fmt: skip
    assert "No answer yet" not in said(client, "water")
    assert "All other values are invented" in said(client, "paper")
    assert "These values are invented" in page.text(client.get("/worksheets/paper?numbers=1").text)


def test_a_last_brew_without_water_or_paper_leaves_invented_ones(
    client: FlaskClient, make: Make
) -> None:
    bare = {name: started(client, name) for name in ("water", "paper")}
    cloth = make.filter(make.pack(material="cloth", price_minor=900))
    make.brew(water_id=make.water(hardness_mg_l=None).id, filters=[cloth])
    for name, values in bare.items():
        assert {k: v for k, v in started(client, name).items() if k != "brew"} == values
    assert "No answer yet" not in page.text(ask(client, "water"))
