"""Logging a brew, finding it again, changing it, binning it."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from io import BytesIO
from typing import Any

import pytest
from flask.testing import FlaskClient
from PIL import Image
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import Database
from app.models import Brew, Filter
from tests.support import page
from tests.support.factories import Make

NEW = "/brews/new"


def send(client: FlaskClient, address: str = NEW, **typed: Any) -> Any:
    """Open the form, type over some fields, save."""
    opened = client.get(address)
    assert opened.status_code == 200
    values = page.filled(opened.text, holding="dose_g", **typed)
    return client.post(address.partition("?")[0], data=values)


def only(journal: Database) -> Brew:
    with Session(journal.reader) as session:
        return session.scalars(select(Brew)).one()


def count(journal: Database) -> int:
    with Session(journal.reader) as session:
        return session.scalar(select(func.count()).select_from(Brew)) or 0


def test_first_brew_of_an_empty_journal_names_its_bean_and_brewer(
    client: FlaskClient, journal: Database
) -> None:
    answer = send(
        client, new_bean="Ridge", new_brewer_kind="pressed immersion", dose_g="11", water_g="200"
    )
    assert answer.status_code == 303
    shown = page.text(client.get(answer.location).text)
    assert "Ridge" in shown
    assert "1 : 18.2" in shown
    assert "55 g/L" in shown


def test_numbers_are_read_with_comma_or_point(client: FlaskClient, journal: Database) -> None:
    send(client, new_bean="R", new_brewer_kind="cone", dose_g="15,5", water_g="250.5 g")
    brew = only(journal)
    assert (brew.dose_g, brew.water_g) == (15.5, 250.5)


@pytest.mark.parametrize(
    ("field", "typed", "message"),
    [
        ("dose_g", "", "Please fill this in."),
        ("dose_g", "much", "Please write a number, such as 17 or 17.4."),
        ("dose_g", "nan", "Please write a number"),
        ("dose_g", "1e3", "Please write a number"),
        ("dose_g", "1_000", "Please write a number"),
        ("dose_g", "-5", "Please stay between 0.1 and 2000 g."),
        ("water_g", "1.000,5", "Please write a number"),
        ("water_temp_c", "101", "Please stay between 0 and 100 °C."),
        ("steep_s", "1:75", "Please write seconds"),
        ("stirs", "2.5", "Please write a whole number."),
        ("tds_pct", "31", "Please stay between 0.01 and 30 % TDS."),
        ("note", "x" * 4001, "Keep this within 4000 characters."),
        ("brewed_at", "yesterday", "Please write a date and a time"),
        ("brewed_at", "2031-01-01T08:00", "This time has not come yet."),
        ("filter_1", "999", "Please choose one from the list."),
        ("bag_id", "999", "Please choose one from the list."),
    ],
)
def test_a_slip_is_named_beside_its_field_and_nothing_typed_is_lost(
    client: FlaskClient, make: Make, journal: Database, field: str, typed: str, message: str
) -> None:
    make.brew()
    answer = send(client, **{"note": "kept note", field: typed})
    assert answer.status_code == 422
    assert message in page.text(answer.text)
    again = page.form(answer.text, holding="dose_g")
    if field != "note":
        assert again["note"] == ["kept note"]
    if field not in ("filter_1", "bag_id"):
        assert again[field] == [typed]
    assert count(journal) == 1


def test_everything_is_prefilled_from_the_last_brew(client: FlaskClient, make: Make) -> None:
    make.brew(dose_g=12.5, water_g=210.0, steep_s=95, water_temp_c=93.5, grind="fine", stirs=3,
              tds_pct=1.3, beverage_g=180.0, note="not this")  # fmt: skip
    values = page.form(client.get(NEW).text, holding="dose_g")
    assert values["dose_g"] == ["12.5"]
    assert values["steep_s"] == ["1:35"]
    assert values["grind"] == ["fine"]
    assert values["stirs"] == ["3"]
    assert values["tds_pct"] == values["beverage_g"] == values["note"] == [""]


@pytest.mark.parametrize(("stirs", "said"), [(0, "0 stirs"), (1, "1 stir"), (4, "4 stirs")])
def test_a_folded_row_says_one_stir(client: FlaskClient, make: Make, stirs: int, said: str) -> None:
    make.brew(stirs=stirs)
    folds = re.findall(r'class="fold-value"[^>]*>(.*?)</span>', client.get(NEW).text)
    assert any(said in re.split(" · |, ", page.text(fold)) for fold in folds), folds


def test_prefilled_from_the_last_brew_with_the_bag_asked_for(
    client: FlaskClient, make: Make
) -> None:
    first, second = make.bag(), make.bag()
    make.brew(first, dose_g=11.0)
    make.brew(second, dose_g=22.0)
    values = page.form(client.get(f"{NEW}?bag={first.id}").text, holding="dose_g")
    assert values["dose_g"] == ["11"]
    assert values["bag_id"] == [str(first.id)]


def test_a_bag_never_brewed_starts_from_the_last_brew_of_all(
    client: FlaskClient, make: Make
) -> None:
    make.brew(dose_g=13.0)
    fresh = make.bag()
    values = page.form(client.get(f"{NEW}?bag={fresh.id}").text, holding="dose_g")
    assert (values["dose_g"], values["bag_id"]) == (["13"], [str(fresh.id)])


def test_a_recipe_lays_its_numbers_over_the_last_brew(client: FlaskClient, make: Make) -> None:
    make.brew(dose_g=13.0, water_temp_c=88.0)
    recipe = make.recipe(dose_g=22.0, water_g=240.0, bypass_g=160.0, water_temp_c=96.0)
    address = f"{NEW}?recipe={recipe.revisions[0].id}"
    values = page.form(client.get(address).text, holding="dose_g")
    assert (values["dose_g"], values["bypass_g"], values["water_temp_c"]) == (
        ["22"], ["160"], ["96"],
    )  # fmt: skip
    assert values["revision_id"] == [str(recipe.revisions[0].id)]


def test_numbers_in_the_address_lie_over_the_last_brew(client: FlaskClient, make: Make) -> None:
    make.brew(dose_g=13.0, water_g=210.0)
    address = f"{NEW}?dose_g=22&bypass_g=160&steep_s=2:30&water_temp_c=hot"
    values = page.form(client.get(address).text, holding="dose_g")
    assert (values["dose_g"], values["water_g"], values["bypass_g"]) == (["22"], ["210"], ["160"])
    assert (values["steep_s"], values["water_temp_c"]) == (["2:30"], ["hot"])


def test_a_form_sent_twice_is_one_brew(client: FlaskClient, make: Make, journal: Database) -> None:
    make.brew()
    values = page.form(client.get(NEW).text, holding="dose_g")
    first, second = client.post(NEW, data=values), client.post(NEW, data=values)
    assert first.location == second.location
    assert count(journal) == 2


def test_a_brew_is_changed_and_keeps_its_moment(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    brew = make.brew(brewed_at="2026-03-05T07:31:44")
    answer = send(client, f"/brews/{brew.id}/edit", dose_g="18", note="Finer")
    assert answer.status_code == 303
    changed = only(journal)
    assert (changed.dose_g, changed.note) == (18.0, "Finer")
    assert changed.brewed_at == datetime(2026, 3, 5, 7, 31, 44, tzinfo=UTC)


def test_an_emptied_time_leaves_an_old_brew_where_it_was(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    brew = make.brew(brewed_at="2026-03-05T07:31:44")
    send(client, f"/brews/{brew.id}/edit", brewed_at="")
    assert only(journal).brewed_at == datetime(2026, 3, 5, 7, 31, 44, tzinfo=UTC)


def test_the_skipped_hour_of_spring_is_refused(client: FlaskClient, make: Make) -> None:
    make.brew()
    client.set_cookie("zone", "Europe/Berlin")
    answer = send(client, brewed_at="2026-03-29T02:30")
    assert answer.status_code == 422
    assert "The clocks skipped this hour" in page.text(answer.text)


def test_both_sides_of_midnight_are_days_of_their_own(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    brew = make.brew()
    client.set_cookie("zone", "Pacific/Auckland")
    send(client, brewed_at="2026-03-05T23:59")
    send(client, brewed_at="2026-03-06T00:01")
    with Session(journal.reader) as session:
        days = session.scalars(
            select(Brew.brewed_on).where(Brew.id != brew.id).order_by(Brew.id)
        ).all()
    assert [day.isoformat() for day in days] == ["2026-03-05", "2026-03-06"]


def test_an_unchanged_time_in_the_repeated_autumn_hour_stays(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    second_time = datetime(2025, 10, 26, 1, 30, tzinfo=UTC)
    brew = make.brew(brewed_at=second_time, zone="Europe/Berlin")
    send(client, f"/brews/{brew.id}/edit", note="changed")
    assert only(journal).brewed_at == second_time


def test_binned_brews_leave_the_list_and_come_back(client: FlaskClient, make: Make) -> None:
    brew = make.brew(make.bag(make.bean(name="Alder")))
    row = f'href="/brews/{brew.id}"'
    client.post(f"/brews/{brew.id}/bin")
    assert row not in client.get("/brews/").text
    assert "Alder" in page.text(client.get("/bin").text)
    client.post(f"/brews/{brew.id}/restore")
    assert row in client.get("/brews/").text


def test_the_list_goes_page_by_page_both_ways(client: FlaskClient, make: Make) -> None:
    for n in range(120):
        make.brew(note=f"n{n:03}")
    seen, address = [], "/brews/"
    for _ in range(3):
        html = client.get(address).text
        seen.append(re.findall(r'href="/brews/(\d+)"', html))
        older = re.search(r'rel="next" href="([^"]+)"', html)
        address = older[1].replace("&amp;", "&") if older else ""
    assert [len(ids) for ids in seen] == [50, 50, 20]
    assert address == ""
    assert len({row for ids in seen for row in ids}) == 120
    newer = re.search(r'rel="prev" href="([^"]+)"', html)
    assert newer is not None
    back = client.get(newer[1].replace("&amp;", "&")).text
    assert re.findall(r'href="/brews/(\d+)"', back) == seen[1]


@pytest.mark.parametrize("words", ["Grapefruit", "grapefruit", "GRAPEFRUIT peel", "crème", "creme"])
def test_words_are_found_whatever_their_case_and_accents(
    client: FlaskClient, make: Make, words: str
) -> None:
    make.brew(make.bag(make.bean(name="Fen")), note="grapefruit peel, Crème")
    make.brew(make.bag(make.bean(name="Moor")), note="flat")
    shown = page.text(client.get("/brews/", query_string={"q": words}).text)
    listed = shown.partition("All brews")[2]
    assert "Fen" in listed
    assert "Moor" not in listed


def test_words_are_found_in_tastings_and_bean_names(client: FlaskClient, make: Make) -> None:
    make.tasting(make.brew(make.bag(make.bean(name="Fen"))), words="plum")
    make.brew(make.bag(make.bean(name="Moor")))
    assert "Fen" in listed(client, q="plum")
    assert "Moor" in listed(client, q="moor")
    assert "Fen" not in listed(client, q="moor")
    assert "No brew fits" in page.text(client.get("/brews/?q=100%25").text)


def listed(client: FlaskClient, **wanted: Any) -> str:
    """What the list says below the search form."""
    return page.text(client.get("/brews/", query_string=wanted).text).partition("All brews")[2]


def test_narrowed_by_bag_recipe_filter_and_days(client: FlaskClient, make: Make) -> None:
    bag, recipe, used = make.bag(make.bean(name="Fen")), make.recipe(), make.filter()
    make.brew(bag, recipe=recipe, filters=[used], brewed_at="2026-02-01T08:00")
    make.brew(make.bag(make.bean(name="Moor")), brewed_at="2026-02-03T08:00")
    for wanted in (
        {"bag": bag.id}, {"recipe": recipe.id}, {"filter": used.id},
        {"until": "2026-02-01"}, {"since": "2026-02-01", "until": "2026-02-02"},
    ):  # fmt: skip
        assert "Sun 1 Feb 2026" in listed(client, **wanted)
        assert "Tue 3 Feb 2026" not in listed(client, **wanted)


def test_a_slip_in_the_search_is_named(client: FlaskClient, make: Make) -> None:
    make.brew()
    shown = page.text(client.get("/brews/?since=soon").text)
    assert "Please write a date" in shown


def test_a_photo_is_kept_small_and_without_its_notes(client: FlaskClient, make: Make) -> None:
    brew = make.brew()
    picture, sent = Image.new("RGB", (4000, 3000), "teal"), BytesIO()
    exif = Image.Exif()
    exif[0x010F] = "Some maker"
    picture.save(sent, "JPEG", exif=exif)
    sent.seek(0)
    send(client, f"/brews/{brew.id}/edit", photo=(sent, "cup.jpg"), photo_alt="A cup")
    assert 'alt="A cup"' in client.get(f"/brews/{brew.id}").text
    kept = client.get(f"/brews/{brew.id}/photo.jpg")
    with Image.open(BytesIO(kept.data)) as shown:
        assert max(shown.size) == 1600
        assert not shown.getexif()
    client.post(f"/brews/{brew.id}/photo/remove")
    assert client.get(f"/brews/{brew.id}/photo.jpg").status_code == 404


@pytest.mark.parametrize(
    "data", [b"", b"GIF89a", b"\xff\xd8\xff\xe0 torn", b"<svg/>", b"\x00" * 999]
)
def test_what_is_no_photo_is_refused_in_words(client: FlaskClient, make: Make, data: bytes) -> None:
    brew = make.brew()
    answer = send(client, f"/brews/{brew.id}/edit", photo=(BytesIO(data), "cup.jpg"))
    assert answer.status_code == 422
    assert "not a JPEG, PNG or WebP photo" in page.text(answer.text)


def test_a_list_of_thirty_asks_as_little_as_a_list_of_three(
    client: FlaskClient, make: Make, statements: Any
) -> None:
    def asked(address: str) -> int:
        client.get(address)
        with statements() as seen:
            client.get(address)
        return len(seen)

    pack = make.pack()
    for _ in range(3):
        make.tasting(make.brew(make.bag(), filters=[make.filter(pack)]))
    addresses = ("/brews/", "/", NEW, "/brews/1")
    few = [asked(address) for address in addresses]
    for _ in range(27):
        make.tasting(make.brew(make.bag(), filters=[make.filter(pack)]))
    assert [asked(address) for address in addresses] == few


def test_taking_a_fresh_paper_and_retiring_it(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    pack = make.pack(count=2)
    make.brew()
    send(client, filter_1=f"fresh:{pack.id}", filter_2=f"fresh:{pack.id}", retire_2="y")
    with Session(journal.reader) as session:
        papers = session.scalars(select(Filter).order_by(Filter.number)).all()
    assert [paper.number for paper in papers] == [1, 2]
    assert papers[0].retired_on is None
    assert papers[1].retired_on is not None


def test_a_pack_that_ran_empty_is_said_beside_the_picker(
    client: FlaskClient, make: Make, journal: Database
) -> None:
    pack = make.pack(count=1)
    make.brew()
    answer = send(client, filter_1=f"fresh:{pack.id}", filter_2=f"fresh:{pack.id}")
    assert answer.status_code == 422
    assert "is empty" in page.text(answer.text)
    with Session(journal.reader) as session:
        assert session.scalar(select(func.count()).select_from(Filter)) == 0
    assert count(journal) == 1


def test_one_paper_cannot_be_in_the_stack_twice(client: FlaskClient, make: Make) -> None:
    paper = make.filter()
    make.brew()
    answer = send(client, filter_1=str(paper.id), filter_2=str(paper.id))
    assert "cannot be in the stack twice" in page.text(answer.text)


def test_same_again_replaces_a_retired_paper_by_a_fresh_one(
    client: FlaskClient, make: Make
) -> None:
    pack = make.pack(count=5)
    paper = make.filter(pack, retired_on=datetime(2026, 1, 9).date())  # noqa: DTZ001
    make.brew(filters=[paper])
    values = page.form(client.get(NEW).text, holding="dose_g")
    assert values["filter_1"] == [f"fresh:{pack.id}"]


def test_an_estimate_says_so_and_a_measured_value_stands_plain(
    client: FlaskClient, make: Make
) -> None:
    guessed, measured = make.brew(steep_s=120), make.brew(tds_pct=1.31)
    assert "strength (TDS), estimated" in page.text(client.get(f"/brews/{guessed.id}").text)
    shown = page.text(client.get(f"/brews/{measured.id}").text)
    assert "strength (TDS), measured" in shown
    assert "1.31 %" in shown


def test_a_strength_read_in_brix_is_kept_as_it_was_read(
    client: FlaskClient, journal: Database
) -> None:
    """TDS is about 0.85 times °Brix, a convention off by 3 to 5 %: 1.5 °Brix is 1.275 %."""
    made = {"new_bean": "R", "new_brewer_kind": "cone", "dose_g": "15", "water_g": "250"}
    answer = send(client, **made, beverage_g="221", brix="1,5")
    brew = only(journal)
    assert (brew.brix, brew.tds_pct) == (1.5, pytest.approx(1.275))
    shown = page.text(client.get(answer.location).text)
    assert re.search(r"1\.5 °Brix ?, taken as 1\.275 % TDS, give or take 5 %", shown)
    assert "a convention that is off by 3 to 5 %" in shown
    # 18.8 % from 1.275 % in 221 g; 5 % of it and the meter's 0.03 are 1.04 points.
    assert "18.8 % (17.7–19.8)" in shown

    edit = f"/brews/{brew.id}/edit"
    values = page.filled(client.get(edit).text, holding="dose_g")
    assert (values["brix"], values["tds_pct"]) == (["1.5"], [""])
    assert send(client, edit, note="again").status_code == 303
    assert only(journal).brix == 1.5
    assert send(client, edit, brix="", tds_pct="1.31").status_code == 303
    brew = only(journal)
    assert (brew.brix, brew.tds_pct) == (None, 1.31)


@pytest.mark.parametrize(
    ("typed", "field", "message"),
    [
        ({"tds_pct": "1.3", "brix": "1.5"}, "brix", "Fill in % TDS or °Brix, not both."),
        ({"brix": "40"}, "brix", "Please stay between 0.02 and 35 °Brix."),
        ({"beverage_g": "300"}, "beverage_g", "weighs more than everything poured"),
        ({"tds_pct": "29"}, "tds_pct", "This strength cannot come from this dose and water"),
        ({"brix": "33"}, "brix", "This strength cannot come from this dose and water"),
    ],
)
def test_numbers_that_no_brew_can_have_are_told_beside_their_field(
    client: FlaskClient, journal: Database, typed: dict[str, str], field: str, message: str
) -> None:
    made = {"new_bean": "R", "new_brewer_kind": "cone", "dose_g": "15", "water_g": "250"}
    answer = send(client, **made, **typed)
    assert answer.status_code == 422
    beside = re.search(rf'id="{field}-error"[^>]*>(.*?)</p>', answer.text, re.S)
    assert beside, answer.text
    assert message in page.text(beside[1])
    for name, value in typed.items():
        assert f'name="{name}" value="{value}"' in answer.text
    assert count(journal) == 0


def test_an_odd_measured_brew_is_saved_and_says_that_nothing_is_learned_from_it(
    client: FlaskClient, journal: Database
) -> None:
    made = {"new_bean": "R", "new_brewer_kind": "cone", "dose_g": "15", "water_g": "250"}
    answer = send(client, **made, beverage_g="221", tds_pct="3.1")
    shown = page.text(client.get(answer.location).text)
    assert "not learned from More than about 30 % extracted is more than coffee gives" in shown
    sheet = page.text(client.get("/worksheets/learned").text)
    assert "Not learned from" in sheet
    assert "more than coffee gives: check the numbers" in sheet


@pytest.mark.parametrize("typed", ["150", "2:30", "2.30", "2,30", "2 min 30", "2.5"])
def test_a_steep_is_saved_as_it_was_meant(
    client: FlaskClient, journal: Database, typed: str
) -> None:
    send(client, new_bean="R", new_brewer_kind="immersion", dose_g="15", water_g="250",
         steep_s=typed)  # fmt: skip
    assert only(journal).steep_s == 150


@pytest.mark.parametrize(
    ("typed", "said"),
    [("2.30", "2:30 = 150\xa0s"), ("2.5", "2:30 = 150\xa0s"), ("soon", "Please write seconds"),
     ("12.5", "This can be minutes or seconds"), ("", "")],
)  # fmt: skip
def test_what_is_understood_of_a_time_is_said(client: FlaskClient, typed: str, said: str) -> None:
    answer = client.get("/brews/look/time", query_string={"text": typed})
    assert answer.status_code == 200
    assert answer.mimetype == "text/plain"
    assert answer.text.startswith(said)


def test_a_time_that_could_not_be_read_stands_as_typed_and_the_other_says_what_it_is(
    client: FlaskClient, make: Make
) -> None:
    make.brew(press_s=30)
    refused = send(client, steep_s="12.5")
    assert "This can be minutes or seconds" in page.text(refused.text)
    assert 'value="12.5"' in refused.text
    assert "0:30 = 30 s" in page.text(refused.text)
    assert refused.text.count('inputmode="decimal"') >= 8
