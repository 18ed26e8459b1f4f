"""The page: taking out, looking at a package, bringing it in, and taking that back."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path
from uuid import uuid4

import pytest
from flask.testing import FlaskClient
from sqlalchemy import func, select
from sqlalchemy.orm import Session
from werkzeug.test import TestResponse

from app.config import Config
from app.database import Database
from app.models import Base, Bean, JournalImport
from tests.support.blind import CLAIMED, rows
from tests.support.factories import Make


def _package(client: FlaskClient) -> bytes:
    answer = client.post("/in-and-out/package")
    assert answer.mimetype == "application/zip"
    assert re.search(r"filename=oddcup-journal-\d{4}-\d\d-\d\d\.zip", str(answer.headers))
    content = answer.data
    answer.close()
    return content


def _look(client: FlaskClient, content: bytes, name: str = "journal.zip") -> TestResponse:
    return client.post("/in-and-out/", data={"package": (io.BytesIO(content), name)})


def _bring(client: FlaskClient, looked: TestResponse, keep: str = "mine") -> TestResponse:
    kept = re.search(r'name="kept"[^>]*value="(\w+)"', looked.text)
    assert kept, looked.text
    data = {"kept": kept[1], "file_name": "journal.zip", "keep": keep, "entry_key": str(uuid4())}
    return client.post("/in-and-out/bring-in", data=data, follow_redirects=True)


def _beans(journal: Database) -> list[str]:
    with Session(journal.reader) as session:
        return list(session.scalars(select(Bean.name).order_by(Bean.id)))


def test_a_journal_goes_out_and_another_one_takes_it_in_and_back(
    client: FlaskClient, journal: Database, make: Make, config: Config
) -> None:
    bean = make.bean(name="Slate Quarry")
    make.brew(make.bag(bean))
    package = _package(client)
    with journal.writing() as session:  # another journal, with a bean of its own
        for table in reversed(Base.metadata.sorted_tables):
            session.execute(table.delete())
    make.bean(name="Own one")
    looked = _look(client, package)
    assert looked.status_code == 200
    assert "package of another journal" in looked.text
    assert _beans(journal) == ["Own one"]
    assert len(list((config.home / "incoming").iterdir())) == 1
    brought = _bring(client, looked)
    assert "It is in: 1 bean, 1 brewer, 1 bag, 1 brew." in brought.text
    assert _beans(journal) == ["Own one", "Slate Quarry"]
    assert not (config.home / "incoming").exists()
    key = {"entry_key": "00000000-0000-4000-8000-000000000001"}
    back = client.post("/in-and-out/1/take-back", data=key, follow_redirects=True)
    assert "It is taken back" in back.text
    assert _beans(journal) == ["Own one"]
    again = client.post("/in-and-out/1/take-back", follow_redirects=True)
    assert "taken back before" in again.text


def test_what_is_here_already_changes_nothing(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    make.brew()
    looked = _look(client, _package(client))
    assert "All of it is here already" in looked.text
    assert "Bring it in" not in looked.text
    with Session(journal.reader) as session:
        assert session.scalar(select(func.count()).select_from(JournalImport)) == 0


def test_taking_back_is_refused_with_a_list(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    make.brew()
    package = _package(client)
    with journal.writing() as session:
        for table in reversed(Base.metadata.sorted_tables):
            session.execute(table.delete())
    _bring(client, _look(client, package))
    with Session(journal.reader) as session:
        bean = session.scalars(select(Bean)).one()
    make.bag(bean)
    answer = client.post("/in-and-out/1/take-back")
    assert answer.status_code == 409
    assert "Bag 2, added since, belongs to Bean 1." in answer.text
    assert "Take back" in answer.text


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "not a zip file"),
        (b"PK\x03\x04 and no more", "not a zip file"),
        (b"brewed_at;dose\n", "not a zip file"),
    ],
)
def test_what_is_no_package_is_told_beside_the_field(
    client: FlaskClient, config: Config, content: bytes, says: str
) -> None:
    answer = _look(client, content)
    assert answer.status_code == 422
    assert says in answer.text
    assert not (config.home / "incoming").exists()


def test_no_file_and_a_forgotten_one_are_told(client: FlaskClient, make: Make) -> None:
    answer = client.post("/in-and-out/", data={})
    assert (answer.status_code, "Please choose the file." in answer.text) == (422, True)
    for kept in ("", "../journal", "0" * 32):
        told = client.post("/in-and-out/bring-in", data={"kept": kept}, follow_redirects=True)
        assert "no longer here" in told.text


def test_a_package_with_mistakes_names_them(client: FlaskClient, make: Make) -> None:
    make.brew(dose_g=14.25)
    with zipfile.ZipFile(io.BytesIO(_package(client))) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    files["data/brew.csv"] = files["data/brew.csv"].replace(b"14.25", b"14,25 <b>")
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    answer = _look(client, file.getvalue())
    assert answer.status_code == 422
    assert "data/brew.csv" in answer.text


def test_a_package_that_is_put_aside_is_gone(
    client: FlaskClient, make: Make, journal: Database, config: Config
) -> None:
    make.brew()
    package = _package(client)
    make.bean(name="Later")
    looked = _look(client, package)
    kept = re.search(r'name="kept"[^>]*value="(\w+)"', looked.text)
    assert kept
    assert Path(config.home / "incoming" / f"{kept[1]}.zip").exists()
    client.post("/in-and-out/look-away", data={"kept": kept[1]})
    assert not (config.home / "incoming").exists()


def test_keys_that_stay_behind_are_told(client: FlaskClient, make: Make) -> None:
    rows(make, [CLAIMED], title="Two papers")
    page = client.get("/in-and-out/").text
    assert "1 trial of “Two papers”" in page.replace("\xa0", " ")
    assert "stays" in page
