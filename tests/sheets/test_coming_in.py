"""Spreadsheets as people keep them come in whole, line by line as they were written."""

from __future__ import annotations

import re
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import (
    Bag,
    Bean,
    Brew,
    Brewer,
    Filter,
    FilterPack,
    FilterUse,
    JournalImport,
    Tasting,
)
from tests.support import page, sheets

Made = Callable[[Path], Path]


def send(client: FlaskClient, path: Path, name: str = "") -> str:
    """The address of the page that shows what the file would bring."""
    answer = client.post(
        "/sheets/", data={"sheet": (BytesIO(path.read_bytes()), name or path.name)}
    )
    assert answer.status_code == 303, page.text(answer.text)
    return answer.headers["Location"]


def bring_in(client: FlaskClient, at: str) -> str:
    shown = client.get(at).text
    mark = re.search(r'name="shown" value="(\w+)"', shown)
    assert mark, page.text(shown)
    key = re.search(r'name="entry_key" value="([^"]+)"', shown)
    assert key
    answer = client.post(f"{at}/bring-in", data={"shown": mark[1], "entry_key": key[1]})
    assert answer.status_code == 303
    return answer.headers["Location"]


def asked(client: FlaskClient, at: str, **said: str) -> str:
    assert client.post(at, data=said).status_code == 303
    return page.text(client.get(at).text).replace("\xa0", " ")


def count(journal: Database, table: type) -> int:
    with Session(journal.reader) as session:
        return session.scalar(select(func.count()).select_from(table)) or 0


@pytest.mark.parametrize("made", sheets.FIVE)
def test_each_of_five_comes_in_whole(
    made: Made, client: FlaskClient, journal: Database, tmp_path: Path
) -> None:
    at = send(client, made(tmp_path))
    asked(client, at, brewer="Garden press", taster="Ada")
    assert "/sheets/came-in/" in bring_in(client, at)
    assert (count(journal, Brew), count(journal, Tasting), count(journal, Bean)) == (24, 24, 3)


def test_amounts_are_those_of_the_sheet(
    client: FlaskClient, journal: Database, tmp_path: Path
) -> None:
    """Ounces, fluid ounces and °F in the first line; worked out by hand."""
    at = send(client, sheets.us_units(tmp_path))
    bring_in(client, at)
    with Session(journal.reader) as session:
        brew = session.scalars(select(Brew).order_by(Brew.brewed_at)).first()
        assert brew
        assert brew.dose_g == pytest.approx(0.58 * 28.349523125)
        assert brew.water_g == pytest.approx(8.6 * 29.5735295625)
        assert brew.water_temp_c == pytest.approx((199 - 32) * 5 / 9)
        assert (brew.steep_s, brew.grind_setting) == (120, "20")
        assert brew.note == "Weather: rain"
        tasting = session.scalars(select(Tasting).where(Tasting.brew_id == brew.id)).one()
        assert (tasting.liking, tasting.note) == (3, "Score as written: 2 (1 to 5)")


def test_uses_of_a_cloth_are_counted_on(
    client: FlaskClient, journal: Database, tmp_path: Path
) -> None:
    at = send(client, sheets.merged_headings(tmp_path))
    asked(client, at, brewer="Garden press", taster="Ada")
    bring_in(client, at)
    assert (count(journal, FilterPack), count(journal, Filter), count(journal, FilterUse)) == (
        1,
        1,
        24,
    )


def test_a_paper_that_names_no_use_is_a_fresh_one(
    client: FlaskClient, journal: Database, tmp_path: Path
) -> None:
    at = send(client, sheets.comma_decimals(tmp_path))
    bring_in(client, at)
    assert (count(journal, FilterPack), count(journal, Filter)) == (1, 24)
    with Session(journal.reader) as session:
        assert session.scalar(select(func.count()).where(Filter.retired_on.is_(None))) == 1
        assert session.scalar(select(FilterPack.count)) == 24


def test_water_follows_from_the_ratio(
    client: FlaskClient, journal: Database, tmp_path: Path
) -> None:
    at = send(client, sheets.dates_as_text(tmp_path))
    asked(client, at, brewer="Garden press", taster="Ada")
    bring_in(client, at)
    with Session(journal.reader) as session:
        first = session.scalars(select(Brew).order_by(Brew.brewed_at)).first()
        assert first
        assert first.water_g == pytest.approx(first.dose_g * 15.7, abs=0.001)


def test_what_is_asked_once_is_asked_before_anything_is_offered(
    client: FlaskClient, tmp_path: Path
) -> None:
    at = send(client, sheets.two_sheets(tmp_path))
    shown = page.text(client.get(at).text)
    assert "Please write whose scores these are." in shown
    assert "Bring in" not in shown.split("Asked once")[0]
    assert "Bring in 24 brews" in asked(client, at, taster="Ada")


def test_it_is_taken_back_as_one(client: FlaskClient, journal: Database, tmp_path: Path) -> None:
    at = send(client, sheets.comma_decimals(tmp_path))
    bring_in(client, at)
    with Session(journal.reader) as session:
        import_id = session.scalars(select(JournalImport.id)).one()
    assert client.post(f"/in-and-out/{import_id}/take-back").status_code == 303
    for table in (Brew, Bag, Bean, Brewer, Filter, FilterPack, FilterUse, Tasting):
        assert count(journal, table) == 0, table


def test_the_same_sheet_again_brings_nothing_unless_asked(
    client: FlaskClient, journal: Database, tmp_path: Path
) -> None:
    path = sheets.comma_decimals(tmp_path)
    bring_in(client, send(client, path))
    at = send(client, path)
    shown = page.text(client.get(at).text).replace("\xa0", " ")
    assert "24 lines are in the journal already and left out" in shown
    assert "There is no line to bring in." in shown or "Bring in" not in shown.split("Columns")[0]
    assert "Bring in 24 brews" in asked(client, at, bring_twins="on", twins_asked="1")


def test_a_form_sent_twice_counts_once(
    client: FlaskClient, journal: Database, tmp_path: Path
) -> None:
    at = send(client, sheets.comma_decimals(tmp_path))
    shown = client.get(at).text
    data = {
        "shown": re.search(r'name="shown" value="(\w+)"', shown)[1],  # type: ignore[index]
        "entry_key": re.search(r'name="entry_key" value="([^"]+)"', shown)[1],  # type: ignore[index]
    }
    first = client.post(f"{at}/bring-in", data=data)
    again = client.post(f"{at}/bring-in", data=data)
    assert first.status_code == 303
    assert again.status_code in (303, 404)
    assert count(journal, Brew) == 24
