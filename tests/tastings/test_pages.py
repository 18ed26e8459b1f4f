"""Tasting a brew: by whom, how well liked, just right or not, in words; now or later."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.database import Database
from app.journal.tastings import mean_liking, tastings_of_brews
from app.models import Brew, Taster, Tasting
from app.sensory.scores.scales import LIKING_LABELS
from tests.support import page
from tests.support.clock import NOON
from tests.support.factories import Make

Watch = Callable[[], AbstractContextManager[list[str]]]


def taste(client: FlaskClient, brew_id: int, **typed: Any) -> Any:
    """Open the form, type over some fields, save."""
    opened = client.get(f"/brews/{brew_id}/taste")
    assert opened.status_code == 200
    return client.post(
        f"/brews/{brew_id}/taste", data=page.filled(opened.text, holding="liking", **typed)
    )


def only(journal: Database) -> Tasting:
    with Session(journal.reader) as session:
        return session.scalars(select(Tasting)).one()


def count(journal: Database, model: Any = Tasting) -> int:
    with Session(journal.reader) as session:
        return session.scalar(select(func.count()).select_from(model)) or 0


def test_the_first_taster_is_asked_for_by_name_once(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    first, second = make.brew(), make.brew()
    assert "who tastes?" in page.text(client.get(f"/brews/{first.id}/taste").text)
    answer = taste(client, first.id, new_taster="Juniper", liking="7")
    assert answer.status_code == 303
    assert answer.location == f"/brews/{first.id}"
    assert "who tastes?" not in page.text(client.get(f"/brews/{second.id}/taste").text)
    assert taste(client, second.id, liking="6").status_code == 303
    assert count(journal, Taster) == 1
    assert count(journal) == 2


def test_everything_said_is_kept(client: FlaskClient, journal: Database, make: Make) -> None:
    brew = make.brew()
    taste(
        client, brew.id, new_taster="Juniper", liking="8", jar_strength="1", jar_sweetness="2",
        jar_acidity="3", jar_bitterness="4", jar_body="5", jar_clarity="3",
        words="Pflaume, très clean", note="Better when cool.\nAgain!", blind="y",
    )  # fmt: skip
    kept = only(journal)
    assert (kept.liking, kept.jar_strength, kept.jar_sweetness, kept.jar_acidity) == (8, 1, 2, 3)
    assert (kept.jar_bitterness, kept.jar_body, kept.jar_clarity) == (4, 5, 3)
    assert kept.words == "Pflaume, très clean"
    assert kept.note == "Better when cool.\nAgain!"
    assert kept.blind
    assert kept.tasted_at == NOON
    shown = page.text(client.get(f"/brews/{brew.id}").text)
    assert "Pflaume, très clean" in shown
    assert "Juniper" in shown


def test_the_scale_of_liking_speaks_its_labels(client: FlaskClient, make: Make) -> None:
    # The nine-point hedonic scale of Peryam & Pilgrim 1957.
    html = client.get(f"/brews/{make.brew().id}/taste").text
    shown = page.text(html)
    for step, label in LIKING_LABELS.items():
        assert f"{step}, {label}" in shown
    for label in ("much too little", "just right", "not answered"):
        assert html.count(f'aria-label="{label}"') == 6


def test_scales_may_stay_unanswered(client: FlaskClient, journal: Database, make: Make) -> None:
    taste(client, make.brew().id, new_taster="Juniper", words="plum")
    kept = only(journal)
    assert kept.liking is None
    assert kept.jar_body is None


def test_a_tasting_that_says_nothing_is_refused(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    answer = taste(client, make.brew().id, new_taster="Juniper", blind="y", words="  ")
    assert answer.status_code == 422
    assert "Nothing was said yet" in page.text(answer.text)
    assert page.form(answer.text, holding="new_taster")["new_taster"] == ["Juniper"]
    assert count(journal) == 0


def test_a_tasting_needs_a_taster(client: FlaskClient, journal: Database, make: Make) -> None:
    answer = taste(client, make.brew().id, liking="7")
    assert answer.status_code == 422
    assert "Please say who tasted." in page.text(answer.text)
    assert count(journal) == 0


@pytest.mark.parametrize(
    ("field", "typed", "message"),
    [
        ("liking", "10", "Please choose a step from 1 to 9."),
        ("liking", "0", "Please choose a step from 1 to 9."),
        ("jar_body", "6", "Please choose a step from 1 to 5."),
        ("words", "x" * 301, "Keep this within 300 characters."),
        ("note", "x" * 4001, "Keep this within 4000 characters."),
        ("new_taster", "x" * 121, "Keep this within 120 characters."),
        ("taster_id", "999", "Please choose one from the list."),
        ("tasted_at", "soon", "Please write a date and a time"),
        ("tasted_at", "2031-01-01T08:00", "This time has not come yet."),
        ("tasted_at", "2025-12-31T08:00", "This is before the brew was made."),
    ],
)
def test_a_slip_is_explained_and_what_was_typed_stays(
    client: FlaskClient, journal: Database, make: Make, field: str, typed: str, message: str
) -> None:
    make.taster(name="Juniper")
    answer = taste(client, make.brew().id, **{"words": "plum", "liking": "7"} | {field: typed})
    assert answer.status_code == 422
    assert message in page.text(answer.text)
    held = page.form(answer.text, holding="words")
    assert held["words"] == [typed if field == "words" else "plum"]
    assert held.get("liking") == (None if field == "liking" else ["7"])
    assert count(journal) == 0


def test_it_can_be_tasted_later_at_the_time_said(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    brew = make.brew(brewed_at="2026-09-10T07:30")
    shown = page.text(client.get(f"/brews/{brew.id}/taste").text)
    assert "when was it tasted?" in shown
    client.set_cookie("zone", "Europe/Berlin")
    taste(client, brew.id, new_taster="Juniper", liking="7", tasted_at="2026-09-10T10:00")
    assert only(journal).tasted_at == datetime(2026, 9, 10, 8, 0, tzinfo=UTC)
    assert only(journal).zone == "Europe/Berlin"


def test_a_cup_tasted_in_the_minute_it_was_brewed_is_in_time(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    brew = make.brew(brewed_at=NOON - timedelta(seconds=20))
    at = (NOON - timedelta(seconds=20)).strftime("%Y-%m-%dT%H:%M")
    assert taste(client, brew.id, new_taster="J", liking="7", tasted_at=at).status_code == 303


def test_several_tasters_taste_one_brew_and_the_next_one_is_offered(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    ada, bo = make.taster(name="Ada"), make.taster(name="Bo")
    earlier, brew = make.brew(), make.brew()
    make.tasting(earlier, bo)
    make.tasting(earlier, ada)
    offered = page.form(client.get(f"/brews/{brew.id}/taste").text, holding="taster_id")
    assert offered["taster_id"] == [str(ada.id)]
    taste(client, brew.id, liking="7")
    again = client.get(f"/brews/{brew.id}/taste").text
    assert page.form(again, holding="taster_id")["taster_id"] == [str(bo.id)]
    assert "Tasted so far: Ada" in page.text(again)
    taste(client, brew.id, liking="5")
    with Session(journal.reader) as session:
        rows = tastings_of_brews(session, [brew.id])[brew.id]
    assert [(row.taster_name, row.liking) for row in rows] == [("Ada", 7), ("Bo", 5)]


def test_a_new_name_known_already_is_the_same_taster(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    make.taster(name="Zoë")
    taste(client, make.brew().id, new_taster=" zoe ", liking="7")
    assert count(journal, Taster) == 1
    taste(client, make.brew().id, new_taster="Ada", liking="7")
    assert count(journal, Taster) == 2


def test_a_taster_in_the_bin_comes_back_when_named(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    make.taster(name="Ada", binned_at=NOON)
    make.taster(name="Bo")
    opened = client.get(f"/brews/{make.brew().id}/taste").text
    assert "Ada" not in page.text(opened)
    taste(client, make.brew().id, new_taster="Ada", liking="7")
    assert count(journal, Taster) == 2
    assert "Ada" in page.text(client.get(f"/brews/{make.brew().id}/taste").text)


def test_a_form_sent_twice_is_saved_once(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    brew = make.brew()
    opened = client.get(f"/brews/{brew.id}/taste").text
    values = page.filled(opened, holding="liking", new_taster="Ada", liking="7")
    for _ in range(2):
        assert client.post(f"/brews/{brew.id}/taste", data=values).status_code == 303
    assert count(journal) == 1


@pytest.mark.parametrize("key", ["", "x", "\x00\ud800", "' OR 1=1"])
def test_a_strange_entry_key_does_no_harm(
    client: FlaskClient, journal: Database, make: Make, key: str
) -> None:
    sent = {"entry_key": key.encode("utf-8", "surrogatepass"), "new_taster": "A", "liking": "7"}
    assert client.post(f"/brews/{make.brew().id}/taste", data=sent).status_code == 303
    assert len(only(journal).entry_key) == 36


def test_changing_a_tasting_keeps_its_moment_unless_it_is_changed(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    at = datetime(2026, 1, 6, 8, 0, 42, tzinfo=UTC)
    made = make.tasting(make.brew(), liking=5, tasted_at=at, words="plum", jar_body=2)
    address = f"/tastings/{made.id}/edit"
    opened = client.get(address)
    held = page.form(opened.text, holding="liking")
    assert (held["liking"], held["jar_body"], held["words"]) == (["5"], ["2"], ["plum"])
    assert client.post(
        address, data=page.filled(opened.text, holding="liking", liking="6", words="fig")
    ).status_code == 303  # fmt: skip
    kept = only(journal)
    assert (kept.liking, kept.words, kept.text_search, kept.tasted_at) == (6, "fig", "fig", at)
    opened = client.get(address)
    client.post(
        address, data=page.filled(opened.text, holding="liking", tasted_at="2026-01-06T09:00")
    )
    assert only(journal).tasted_at == datetime(2026, 1, 6, 9, 0, tzinfo=UTC)


def test_a_change_that_says_nothing_is_refused(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    made = make.tasting(make.brew(), liking=5)
    address = f"/tastings/{made.id}/edit"
    emptied = page.filled(client.get(address).text, holding="liking", liking="")
    assert client.post(address, data=emptied).status_code == 422
    assert only(journal).liking == 5


def test_the_bin_takes_a_tasting_out_of_every_list_and_gives_it_back(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    brew = make.brew()
    made = make.tasting(brew, liking=2, words="quince")
    make.tasting(brew, liking=8)
    client.post(f"/tastings/{made.id}/bin")
    assert "quince" not in page.text(client.get("/tastings/").text)
    assert "quince" not in page.text(client.get(f"/brews/{brew.id}").text)
    with Session(journal.reader) as session:
        assert session.scalar(select(mean_liking(Brew)).where(Brew.id == brew.id)) == 8.0
    client.post(f"/tastings/{made.id}/restore")
    assert "quince" in page.text(client.get("/tastings/").text)
    with Session(journal.reader) as session:
        assert session.scalar(select(mean_liking(Brew)).where(Brew.id == brew.id)) == 5.0


def test_brews_not_tasted_yet_are_offered(client: FlaskClient, make: Make) -> None:
    tasted = make.brew(make.bag(make.bean(name="Drunk")))
    make.tasting(tasted)
    waiting = make.brew(make.bag(make.bean(name="Waiting")))
    make.brew(make.bag(make.bean(name="Gone")), binned_at=NOON)
    listed = client.get("/tastings/")
    assert "Not tasted yet" in page.text(listed.text)
    assert f"/brews/{waiting.id}/taste" in listed.text
    assert f"/brews/{tasted.id}/taste" not in listed.text
    assert "Gone" not in page.text(listed.text)


def test_words_find_tastings_whatever_their_case_and_accents(
    client: FlaskClient, make: Make
) -> None:
    brew = make.brew()
    make.tasting(brew, words="Crème brûlée", note="sweet")
    make.tasting(brew, words="100% plum")
    found = page.text(client.get("/tastings/?q=BRULEE+sweet").text)
    assert "Crème brûlée" in found
    assert "plum" not in found
    assert "plum" in page.text(client.get("/tastings/?q=100%25").text)
    assert "No tasting says that" in page.text(client.get("/tastings/?q=1_0").text)


def test_the_list_goes_on_page_by_page_without_losing_a_tasting(
    client: FlaskClient, make: Make
) -> None:
    brew = make.brew()
    for n in range(120):
        make.tasting(brew, words=f"word{n}.")
    seen, address = [], "/tastings/"
    for _ in range(3):
        listed = client.get(address).text
        seen += [n for n in range(120) if f"word{n}." in page.text(listed)]
        links = [part.split('"')[0] for part in listed.split('rel="next" href="')[1:]]
        address = links[0].replace("&amp;", "&") if links else ""
    assert sorted(seen) == list(range(120))
    assert address == ""


def test_an_empty_journal_says_what_will_be_here(client: FlaskClient) -> None:
    assert "Nothing tasted yet" in page.text(client.get("/tastings/").text)


@pytest.mark.parametrize(
    "address", ["/brews/999/taste", "/tastings/999/edit", "/tastings/999/bin", "/tastings/0/edit"]
)
def test_what_is_not_there_is_not_found(client: FlaskClient, address: str) -> None:
    sent = client.post(address) if address.endswith("bin") else client.get(address)
    assert sent.status_code == 404


def test_pages_ask_the_same_number_of_questions_however_many_rows(
    client: FlaskClient, make: Make, statements: Watch
) -> None:
    def asked(address: str) -> int:
        client.get(address)
        with statements() as seen:
            assert client.get(address).status_code == 200
        return len(seen)

    for _ in range(3):
        last = make.brew()
        make.tasting(last)
        make.brew()
    addresses = ("/tastings/", "/tastings/?q=plum", f"/brews/{last.id}/taste")
    few = [asked(address) for address in addresses]
    for n in range(30):
        make.tasting(last, make.taster(name=f"Taster {n}"))
        make.brew()
    assert [asked(address) for address in addresses] == few


def test_text_of_a_tasting_is_never_markup(client: FlaskClient, make: Make) -> None:
    made = make.tasting(make.brew(), make.taster(name="<b>x"), words="<script>", note='"><i>')
    for address in ("/tastings/", f"/tastings/{made.id}/edit"):
        shown = client.get(address).text
        assert "<b>x" not in shown
        assert "<script>" not in shown.replace('<script defer src="', "")
        assert '"><i>' not in shown


def test_the_same_form_with_another_score_is_asked_about_and_changes_nothing(
    client: FlaskClient, journal: Database, make: Make
) -> None:
    """C3: "Tasting saved: 2" is not said while 8 stands; what was sent can be compared with it."""
    brew = make.brew()
    opened = client.get(f"/brews/{brew.id}/taste").text
    sent = page.filled(opened, holding="liking", new_taster="Ada", liking="8")
    client.post(f"/brews/{brew.id}/taste", data=sent)
    told = client.post(f"/brews/{brew.id}/taste", data=sent | {"liking": ["2"]})
    assert told.status_code == 409
    assert "Tasting saved: 2" not in page.text(told.text)
    assert only(journal).liking == 8
    change = f"/tastings/{only(journal).id}/edit"
    assert f'action="{change}"' in told.text
    both = client.post(change, data=page.form(told.text, holding="liking"))
    assert both.status_code == 409
    client.post(change, data=page.form(both.text, holding="seen") | {"take_all": ["mine"]})
    assert only(journal).liking == 2
    assert count(journal, Taster) == 1
