"""Photos of a brew: one is shown, the others lie in the bin and can take its place again."""

from __future__ import annotations

from io import BytesIO
from typing import Any

from flask.testing import FlaskClient
from PIL import Image
from sqlalchemy import select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Brew, BrewPhoto
from tests.support import page
from tests.support.factories import Make


def picture(colour: str) -> tuple[BytesIO, str]:
    sent = BytesIO()
    Image.new("RGB", (40, 30), colour).save(sent, "JPEG")
    sent.seek(0)
    return sent, "cup.jpg"


def change(client: FlaskClient, brew: Brew, **typed: Any) -> Any:
    edit = f"/brews/{brew.id}/edit"
    return client.post(edit, data=page.filled(client.get(edit).text, holding="dose_g", **typed))


def says(client: FlaskClient, address: str) -> str:
    return page.text(client.get(address).text)


def shown(client: FlaskClient, brew: Brew) -> bytes:
    return client.get(f"/brews/{brew.id}/photo.jpg").data


def photos(journal: Database) -> list[tuple[str, bytes, bool]]:
    with Session(journal.reader) as session:
        rows = session.scalars(select(BrewPhoto).order_by(BrewPhoto.id))
        return [(row.alt, row.jpeg, row.binned_at is None) for row in rows]


def test_a_photo_that_is_replaced_can_be_shown_again(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """C14: neither of two photos is lost, however often they change places."""
    brew = make.brew()
    change(client, brew, photo=picture("teal"), photo_alt="The bloom")
    first = shown(client, brew)
    change(client, brew, photo=picture("navy"), photo_alt="The cup")
    second = shown(client, brew)
    assert first != second
    kept = [("The bloom", first, False), ("The cup", second, True)]
    assert photos(journal) == kept
    assert "Morning Hill, 5 Jan 2026: The bloom" in says(client, "/bin")
    answer = client.post(f"/brews/{brew.id}/photos/1/restore")
    assert "the one shown until now is in the bin" in says(client, answer.location)
    assert shown(client, brew) == first
    assert 'alt="The bloom"' in client.get(f"/brews/{brew.id}").text
    client.post(f"/brews/{brew.id}/photos/1/restore")  # it is shown already
    client.post(f"/brews/{brew.id}/photos/2/restore")
    assert photos(journal) == kept


def test_a_removed_photo_is_not_shown_and_comes_back(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """C14: and its brew's history says both."""
    brew = make.brew()
    make.photo(brew, b"\xff\xd8\xff\xd9", "The cup")
    assert "is in the bin" in says(client, client.post(f"/brews/{brew.id}/photo/remove").location)
    assert "photo.jpg" not in client.get(f"/brews/{brew.id}").text
    assert client.get(f"/brews/{brew.id}/photo.jpg").status_code == 404
    assert client.post(f"/brews/{brew.id}/photo/remove").status_code == 404
    assert page.form(client.get(f"/brews/{brew.id}/edit").text, holding="dose_g")["photo_alt"] == [
        ""
    ]
    client.post(f"/brews/{brew.id}/photos/1/restore")
    assert shown(client, brew) == b"\xff\xd8\xff\xd9"
    history = says(client, f"/history/brew/{brew.id}")
    assert "photo put in the bin" in history
    assert "photo restored" in history


def test_a_new_photo_of_a_brew_whose_photo_is_in_the_bin(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    brew = make.brew()
    make.photo(brew, b"\xff\xd8\xff\xd9", "Before")
    client.post(f"/brews/{brew.id}/photo/remove")
    change(client, brew, photo=picture("teal"), photo_alt="After")
    assert [(alt, there) for alt, _, there in photos(journal)] == [
        ("Before", False), ("After", True),
    ]  # fmt: skip


def test_what_a_photo_shows_is_changed_without_another_photo(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    brew = make.brew()
    make.photo(brew, b"\xff\xd8\xff\xd9", "The cpu")
    assert change(client, brew, photo_alt="The cup").status_code == 303
    assert photos(journal) == [("The cup", b"\xff\xd8\xff\xd9", True)]


def test_a_form_left_open_is_told_that_the_photo_went(client: FlaskClient, make: Make) -> None:
    """C14, C2: what it says of the photo is not saved for another one in silence."""
    brew = make.brew()
    make.photo(brew, b"\xff\xd8\xff\xd9", "The cup")
    edit = f"/brews/{brew.id}/edit"
    left_open = page.filled(client.get(edit).text, holding="dose_g", photo_alt="My cup")
    client.post(f"/brews/{brew.id}/photo/remove")
    answer = client.post(edit, data=left_open)
    assert answer.status_code == 409
    assert "photo put in the bin" in page.text(answer.text)


def test_a_photo_of_another_brew_is_not_restored_there(client: FlaskClient, make: Make) -> None:
    brew, other = make.brew(), make.brew()
    photo = make.put_in_the_bin(make.photo(other, b"\xff\xd8\xff\xd9"))
    assert client.post(f"/brews/{brew.id}/photos/{photo.id}/restore").status_code == 404
